//! What was seen, heard, smelt and felt, in plain words, what matters most first.

use super::Letter;
use crate::clean::{clean, shorten, stopped};
use crate::number::long_date;
use crate::phrases::fill;
use crate::terms;
use model::breaker::Breaker;
use model::evidence::{Feel, Observed, Sign, SignReading, TouchReading};
use model::panel::Panel;

impl Letter<'_> {
    pub(super) fn seen(&self) -> Vec<String> {
        let mut texts = self.opened();
        texts.extend(self.signs_found());
        texts.extend(self.said());
        texts.extend(self.touched());
        texts.extend(self.other_breakers());
        texts.extend(self.signs_not_found());
        texts
    }

    /// What was found when a part came off.
    fn opened(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let openings = self.job.openings.iter().map(|opening| {
            let joint = terms::joint_for_owner(self.phrases, &self.job.installation, &opening.joint);
            let found = self.phrases.word("condition", opening.found.word());
            let found_so = &[("joint", joint.as_str()), ("found", found), ("words", &clean(&opening.words))];
            let opened = fill(&words.opened, found_so);
            match self.job.remaking(opening) {
                None => opened,
                Some(work) => {
                    let day = long_date(self.phrases, work.at.date());
                    fill(&words.opened_anew, &[("opened", &stopped(&opened)), ("day", &day)])
                }
            }
        });
        openings.collect()
    }

    fn said(&self) -> Vec<String> {
        let complaints = self.job.complaints.iter().map(|complaint| clean(&complaint.words));
        let mut spoken: Vec<String> = complaints.filter(|said| !said.is_empty()).collect();
        // The page is short: what was said on the telephone stands here only where it is all there is.
        if spoken.is_empty() {
            let calls = self.job.calls.iter().map(|call| clean(&call.words));
            spoken.extend(calls.filter(|said| !said.is_empty()));
        }
        let told = |said: &String| fill(&self.phrases.letter.said, &[("words", &shorten(said, 130))]);
        spoken.iter().map(told).collect()
    }

    fn signs(&self, present: bool) -> Vec<&SignReading> {
        let readings = self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Sign(reading) if reading.present == present => Some(reading),
            _ => None,
        });
        let mut readings: Vec<&SignReading> = readings.collect();
        let place = |sign: Sign| Sign::ALL.iter().position(|&other| other == sign);
        readings.sort_by_key(|reading| place(reading.sign));
        readings
    }

    fn signs_found(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let signs = self.signs(true).into_iter().map(|reading| {
            let name = self.phrases.word("sign", reading.sign.word());
            let scope = self.scope(&reading.scope);
            let more = clean(&reading.words);
            let template = if more.is_empty() { &words.sign } else { &words.sign_words };
            fill(template, &[("sign", name), ("scope", &scope), ("words", &shorten(&more, 90))])
        });
        signs.collect()
    }

    fn signs_not_found(&self) -> Option<String> {
        let mut names: Vec<&str> = Vec::new();
        for reading in self.signs(false) {
            let name = self.phrases.word("sign", reading.sign.word());
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let list = self.list(&names);
        (!names.is_empty()).then(|| fill(&self.phrases.letter.not_found, &[("signs", &list)]))
    }

    /// Warm faces, the warmest first; faces that were not warm in one sentence.
    fn touched(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let touches = self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Touch(touch) if !touch.void => Some(touch),
            _ => None,
        });
        let mut touches: Vec<&TouchReading> = touches.collect();
        touches.sort_by_key(|touch| std::cmp::Reverse(warmth(touch.feel)));
        let mut texts = Vec::new();
        let mut cool: Vec<String> = Vec::new();
        for touch in touches {
            let breaker = self.breaker_name(&touch.slot);
            if touch.feel == Feel::NotWarm {
                cool.push(breaker);
                continue;
            }
            let feel = self.phrases.word("feel-owner", terms::feel(touch.feel));
            let state = clean(&touch.state);
            texts.push(fill(&words.touch, &[("breaker", &breaker), ("feel", feel), ("state", &state)]));
        }
        if !cool.is_empty() {
            texts.push(fill(&words.touch_cool, &[("breakers", &self.list(&cool))]));
        }
        texts
    }

    /// Breakers of another make, or put in later.
    fn other_breakers(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let of = |wanted: fn(&Breaker) -> bool| {
            let mut names = Vec::new();
            for (panel, breaker) in self.job.installation.breakers().filter(|(_, breaker)| wanted(breaker)) {
                names.extend(self.name_in(panel, breaker));
            }
            names
        };
        let mut texts = Vec::new();
        let foreign = of(|breaker| breaker.other_make == Some(true));
        if !foreign.is_empty() {
            texts.push(fill(&words.other_make, &[("breakers", &self.list(&foreign))]));
        }
        let later = of(|breaker| breaker.later == Some(true) && breaker.other_make != Some(true));
        if !later.is_empty() {
            texts.push(fill(&words.later, &[("breakers", &self.list(&later))]));
        }
        texts
    }

    fn name_in(&self, panel: &Panel, breaker: &Breaker) -> Option<String> {
        let first = breaker.spaces.first()?;
        Some(self.breaker_name(&model::Slot::new(panel.id.clone(), *first)))
    }
}

/// From cool to hot.
const fn warmth(feel: Feel) -> u8 {
    match feel {
        Feel::NotWarm => 0,
        Feel::Warm => 1,
        Feel::Hot => 2,
        Feel::Pain => 3,
        Feel::Withdrawn => 4,
    }
}
