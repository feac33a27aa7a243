//! Where the code can be read in two ways: the readings, the careful one by default, the other one shown beside it.

/// Existing heating and cooling in the method for existing dwellings, when none is added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HvacReading {
    /// At 100 % beside the pool, as when it is added.
    #[default]
    Full,
    /// An appliance on a circuit of its own, in the pool.
    InPool,
}

/// Vehicle supply equipment in the load sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum EvReading {
    /// Continuous: 125 %, outside any pool.
    #[default]
    Continuous,
    /// At 100 %; in the pool where the method has one.
    Plain,
}

/// Number of appliances in Note 3 of the cooking table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CountReading {
    /// Counted for each column by itself.
    #[default]
    PerColumn,
    /// All small cooking appliances together.
    Total,
}

/// A blower that moves air for heating or cooling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BlowerReading {
    /// Heating or cooling equipment: 100 %.
    #[default]
    Hvac,
    /// A fastened-in-place appliance or motor, in the pool.
    Pool,
}

/// The neutral of two legs of a wye.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WyeReading {
    /// No reduction at all.
    #[default]
    NoReduction,
    /// 70 % of cooking and dryer as in Annex D, example D5(a).
    AnnexD5,
}

/// A garage that could become habitable, where the edition speaks of adaptable space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum GarageReading {
    /// In the floor area.
    #[default]
    Counted,
    /// Not in the floor area.
    LeftOut,
}

/// Loads that are taken out, in the measured-demand method.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum NettingReading {
    /// Not subtracted.
    #[default]
    Kept,
    /// Subtracted before the factor.
    Subtracted,
}

/// The largest motor, where air conditioning is dropped because heating is larger (from 2020).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DroppedMotorReading {
    /// Its addition counts all the same.
    #[default]
    Counted,
    /// Two sums, one with heating and one with cooling, each with its own largest motor; the larger one.
    TwoSums,
}

/// All readings of one calculation. The default is the careful one of each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Readings {
    /// Existing heating and cooling.
    pub hvac: HvacReading,
    /// Vehicle supply equipment.
    pub ev: EvReading,
    /// Note 3.
    pub count: CountReading,
    /// Blowers.
    pub blower: BlowerReading,
    /// Wye neutral.
    pub wye: WyeReading,
    /// Garage.
    pub garage: GarageReading,
    /// Netting.
    pub netting: NettingReading,
    /// Largest motor.
    pub dropped_motor: DroppedMotorReading,
}

/// One disputed point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reading {
    /// Existing heating and cooling.
    Hvac,
    /// Vehicle supply equipment.
    Ev,
    /// Note 3.
    Count,
    /// Blowers.
    Blower,
    /// Wye neutral.
    Wye,
    /// Garage.
    Garage,
    /// Netting.
    Netting,
    /// Largest motor.
    DroppedMotor,
}

impl Reading {
    /// All of them.
    pub const ALL: [Reading; 8] = [
        Reading::Hvac,
        Reading::Ev,
        Reading::Count,
        Reading::Blower,
        Reading::Wye,
        Reading::Garage,
        Reading::Netting,
        Reading::DroppedMotor,
    ];

    /// The other reading of this point, in one sentence.
    pub const fn other(self) -> &'static str {
        match self {
            Reading::Hvac => {
                "existing heating and cooling counted as an appliance in the pool, since none is added"
            }
            Reading::Ev => "vehicle supply equipment at 100 %, in the pool where the method has one",
            Reading::Count => "small cooking appliances counted together for both columns of the table",
            Reading::Blower => "the blower counted as an appliance or motor in the pool",
            Reading::Wye => {
                "70 % of cooking and dryer on the neutral of the wye, as Annex D example D5(a) does"
            }
            Reading::Garage => "the garage left out of the floor area although it could become habitable",
            Reading::DroppedMotor => {
                "two sums, with heating and with cooling, each with its own largest motor; the larger one"
            }
            Reading::Netting => "the load that is taken out subtracted before the factor",
        }
    }
}

impl Readings {
    /// These readings with one point read the less careful way.
    pub fn with_other(mut self, point: Reading) -> Readings {
        match point {
            Reading::Hvac => self.hvac = HvacReading::InPool,
            Reading::Ev => self.ev = EvReading::Plain,
            Reading::Count => self.count = CountReading::Total,
            Reading::Blower => self.blower = BlowerReading::Pool,
            Reading::Wye => self.wye = WyeReading::AnnexD5,
            Reading::Garage => self.garage = GarageReading::LeftOut,
            Reading::DroppedMotor => self.dropped_motor = DroppedMotorReading::TwoSums,
            Reading::Netting => self.netting = NettingReading::Subtracted,
        }
        self
    }
}
