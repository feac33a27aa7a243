//! Invented facts of a new panel: what was filed, built, tightened, switched on and tried.

use super::*;
use model::install::{Flagged, Stage, Terminal, Trial};

impl Facts {
    /// A new panel: what was filed, built, tightened, switched on and tried.
    pub(super) fn install(&mut self, dice: &mut Dice<'_>, panels: &[Known]) {
        let Some(panel) = panels.first() else { return };
        let space = |number| AsText(Space::whole(number));
        for minute in 0..dice.below(10) as i8 {
            let number = 1 + dice.below(40) as u16;
            let terminal = dice.of(&[
                Terminal::Lug(Leg::A),
                Terminal::NeutralLug,
                Terminal::Bond,
                Terminal::Pole(Space::whole(number)),
                Terminal::Ground(Space::whole(number)),
            ]);
            let body: Body = match dice.below(8) {
                0 => PermitFiled {
                    number: dice.name(),
                    rating_a: dice.maybe(|_| 200.0),
                    spaces: dice.maybe(|_| 42),
                    circuits: vec![CircuitFiled { space: space(number), amps: 20.0 }],
                    passed: dice.maybe(|_| OPENED),
                    failed: dice.maybe(|_| OPENED),
                    flagged: dice.maybe(|dice| AsText(dice.of(&Flagged::ALL))).into_iter().collect(),
                    words: dice.words(),
                }
                .into(),
                1 => BreakerInstalled {
                    spaces: vec![space(number), space(number + 2)],
                    rating_a: 30.0,
                    protection: AsText(dice.of(&[Protection::ThermalMagnetic, Protection::ArcFault])),
                    from: if dice.coin() { vec![AsText(panel.slot(dice))] } else { Vec::new() },
                    size: dice.maybe(|_| AsText(WireSize::Awg(10))),
                    spliced: dice.coin(),
                    words: dice.words(),
                }
                .into(),
                2 => TerminalTorqued {
                    terminal: AsText(terminal),
                    value: dice.of(&[TorqueAs::LbIn(25.0), TorqueAs::LbFt(20.8), TorqueAs::Nm(2.8)]),
                    source: dice.of(&[
                        TorqueFrom::Label("ab".repeat(32)),
                        TorqueFrom::Sheet("a sheet, \"table 1\"".to_owned()),
                    ]),
                    tool: dice.name(),
                    calibrated: Date::constant(2026, 1, 2),
                    due: dice.maybe(|_| Date::constant(2027, 1, 2)),
                }
                .into(),
                3 => {
                    let stage = dice.of(&[Stage::Supply, Stage::Main, Stage::Branches]);
                    let pair = (ProofPoint::Leg(Leg::A), ProofPoint::Neutral);
                    StageReached {
                        stage: AsText(stage),
                        spaces: if stage == Stage::Branches { vec![space(number)] } else { Vec::new() },
                        readings: vec![PairRead { pair: AsText(pair), volts: dice.tenths(110.0, 127.0) }],
                        legs: vec![LegRead { leg: AsText(Leg::A), amps: dice.tenths(0.0, 60.0) }],
                        meter: dice.maybe(Dice::name),
                    }
                    .into()
                }
                4 => TerminalVerified {
                    terminal: AsText(terminal),
                    value: TemperatureAs::C(dice.tenths(20.0, 80.0)),
                    room: dice.maybe(|dice| TemperatureAs::F(dice.tenths(60.0, 90.0))),
                    amps: dice.maybe(|dice| dice.tenths(0.0, 60.0)),
                    held_min: dice.maybe(|_| 30.0),
                    surface: AsText(dice.of(&[Surface::Matte, Surface::BareMetal])),
                    method: AsText(dice.of(&[TemperatureMethod::Infrared, TemperatureMethod::Contact])),
                    instrument: dice.maybe(Dice::name),
                }
                .into(),
                5 => NeutralClamped {
                    spaces: [space(number), space(number + 2)],
                    hots: [dice.tenths(0.0, 20.0), dice.tenths(0.0, 20.0)],
                    neutral: dice.tenths(0.0, 40.0),
                    between: dice.maybe(|dice| dice.tenths(0.0, 250.0)),
                }
                .into(),
                6 => DeviceTried {
                    space: space(number),
                    how: AsText(dice.of(&Trial::ALL)),
                    passed: dice.coin(),
                    words: dice.words(),
                }
                .into(),
                _ => CardHung {
                    width: dice.maybe(Dice::length).map(|_| LengthAs::In(5.5)),
                    height: dice.maybe(|_| LengthAs::Mm(220.0)),
                    lines: vec![CardLine { space: space(number), words: dice.name() }],
                }
                .into(),
            };
            self.add(dice, OPENED.at(17, minute, 0, 0), body);
        }
    }
}
