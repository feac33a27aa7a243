//! How the answers of the full networks bend away from the straight lines, fitted where both are known.
//!
//! The full networks are solved at a sample of the draws only. What a reading's answer by them differs from its straight line
//! is a smooth function of few things: how far its own body is above the room, how much heat the panel gives off, and the
//! knobs. A polynomial of second order in these, fitted to the sample by least squares, tells the difference at every draw.
//! It is held to what the sample spans, and what it leaves is weighed by the sample itself (see [`super::exact`]).

use crate::problem::fit::{Scale, least_squares};
use crate::problem::{N_KNOBS, Problem, View};
use crate::sampler::Draw;

/// Terms: one; rise and heat with their squares and product; the knobs with their squares and most products, and times the
/// rise and the heat; the room.
const N_TERMS: usize = 10 + 4 * N_KNOBS;
/// Fewer draws than this are not fitted to.
const LEAST_DRAWS: usize = 2 * N_TERMS;
/// Pull of each standardised term towards none, as a share of the number of draws.
const RIDGE: f64 = 1e-4;

/// What the bends of one draw depend on, but for the rises.
pub(super) struct Setting {
    /// Heat in the panel of each view, W.
    heat_w: Vec<f64>,
    /// Room of each view, from its prior's middle in its spreads.
    room: Vec<f64>,
    /// Knobs of each panel, in their prior spreads.
    knobs: Vec<[f64; N_KNOBS]>,
}

impl Setting {
    pub(super) fn of(p: &Problem, draw: &Draw) -> Setting {
        let heat_w = p.heat_in_views(&draw.ohm, &draw.loads);
        let room = |view: &View| {
            let at = p.states[view.state].room_offset;
            (draw.offsets[at] - p.offsets[at].mean) / p.offsets[at].sd
        };
        let room = p.views.iter().map(room).collect();
        Setting { heat_w, room, knobs: draw.knobs.iter().map(|knobs| p.in_spreads(knobs)).collect() }
    }
}

/// The bend of one observation.
pub(super) struct Bend {
    obs: usize,
    view: usize,
    panel: usize,
    rise: Scale,
    heat: Scale,
    factors: [f64; N_TERMS],
}

impl Bend {
    /// Fits the bend of an observation to its differences at some draws, K; `None` where they are too few or not finite.
    pub(super) fn fit(
        p: &Problem,
        obs: usize,
        draws: &[&Draw],
        settings: &[Setting],
        differences_k: &[f64],
    ) -> Option<Bend> {
        let view = p.obs[obs].thermal.as_ref()?.view;
        if draws.len() < LEAST_DRAWS {
            return None;
        }
        let rises: Vec<f64> = draws.iter().map(|draw| p.line_rise_k(obs, draw)).collect();
        let heats: Vec<f64> = settings.iter().map(|setting| setting.heat_w[view]).collect();
        let panel = p.views[view].panel;
        let (rise, heat) = (Scale::of(&rises), Scale::of(&heats));
        let mut bend = Bend { obs, view, panel, rise, heat, factors: [0.0; N_TERMS] };
        let terms = draws.iter().zip(settings).map(|(draw, setting)| bend.terms(p, draw, setting));
        bend.factors = least_squares(terms, differences_k, RIDGE)?;
        Some(bend)
    }

    /// What the full networks' answer differs from the straight line at a draw, K.
    pub(super) fn at(&self, p: &Problem, draw: &Draw, setting: &Setting) -> f64 {
        self.terms(p, draw, setting).iter().zip(&self.factors).map(|(term, factor)| term * factor).sum()
    }

    /// The observation it is of.
    pub(super) fn obs(&self) -> usize {
        self.obs
    }

    fn terms(&self, p: &Problem, draw: &Draw, setting: &Setting) -> [f64; N_TERMS] {
        let rise = self.rise.at(p.line_rise_k(self.obs, draw));
        let heat = self.heat.at(setting.heat_w[self.view]);
        let [film, cabinet, path, neck] = setting.knobs[self.panel];
        [
            1.0,
            rise,
            heat,
            rise * rise,
            rise * heat,
            heat * heat,
            film,
            cabinet,
            path,
            neck,
            film * rise,
            cabinet * rise,
            path * rise,
            neck * rise,
            film * film,
            cabinet * cabinet,
            path * path,
            neck * neck,
            film * heat,
            cabinet * heat,
            path * heat,
            neck * heat,
            film * cabinet,
            film * path,
            cabinet * path,
            setting.room[self.view],
        ]
    }
}
