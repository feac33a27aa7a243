//! Prior law of a pole's resistance around the factors that it shares with others; logarithms of ohms.

use crate::priors::OwnContacts;
use crate::sampler::{exp_near, normal_density};

/// Lognormal around a mean moved by the factors the pole shares with others, or one whose own contacts are bad (a contaminated
/// normal law that leans to one side: Tukey 1960, A survey of sampling from contaminated distributions).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PoleLaw {
    pub(crate) mean: f64,
    pub(crate) sd: f64,
    pub(crate) own_contacts: OwnContacts,
}

impl PoleLaw {
    /// Share, shift and spread of the usual poles, and of those with bad contacts.
    pub(crate) fn parts(&self) -> [(f64, f64, f64); 2] {
        let OwnContacts { share, shift, spread } = self.own_contacts;
        [(1.0 - share, 0.0, self.sd), (share, shift, spread)]
    }

    /// Shift and spread of one of them.
    pub(crate) fn part(&self, is_bad: bool) -> (f64, f64) {
        let (_, shift, sd) = self.parts()[usize::from(is_bad)];
        (shift, sd)
    }

    /// Density at a pole's own departure from what its factors say, beside the peak of a normal of spread one.
    pub(crate) fn density(&self, own: f64) -> f64 {
        let of = |(share, shift, sd): (f64, f64, f64)| {
            let z = (own - shift) / sd;
            share / sd * exp_near((-0.5 * z * z).max(-700.0))
        };
        self.parts().into_iter().map(of).sum()
    }

    /// Chance that its own contacts are bad, at its own departure.
    pub(crate) fn bad_chance(&self, own: f64) -> f64 {
        let [usual, bad] = self.parts().map(|(share, shift, sd)| share * normal_density(own, shift, sd));
        let total = usual + bad;
        if 0.0 < total { bad / total } else { f64::from(u8::from(0.0 < own)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAW: PoleLaw =
        PoleLaw { mean: -4.6, sd: 0.16, own_contacts: OwnContacts { share: 0.02, shift: 0.6, spread: 0.5 } };

    /// By hand: at ln 1.5 = 0.405 the usual law has 0.98/0.16·exp(−3.211) = 0.2469, the other 0.02/0.5·exp(−0.0756) = 0.0371, so
    /// 0.131 are bad; at ln 2 = 0.693 it has 0.98/0.16·exp(−9.384) = 0.000515 and 0.0393, so 0.987.
    #[test]
    fn a_pole_half_above_is_seldom_bad_and_one_twice_as_high_mostly_is() {
        for (times, density, chance) in [(1.5, 0.2840, 0.131), (2.0, 0.0398, 0.987)] {
            let own = libm::log(times);
            assert!((LAW.density(own) - density).abs() < 2e-4, "{}", LAW.density(own));
            assert!((LAW.bad_chance(own) - chance).abs() < 1e-3, "{}", LAW.bad_chance(own));
        }
    }

    #[test]
    fn far_off_it_is_what_it_must_be() {
        assert_eq!((LAW.bad_chance(60.0), LAW.bad_chance(-60.0)), (1.0, 0.0));
        assert!(LAW.density(60.0) < 1e-300);
    }
}
