//! Who to call when, and what to keep in mind.

use super::Letter;
use crate::page::{Item, Node, heading, list};
use model::panel::Feed;

impl Letter<'_> {
    pub(super) fn who_to_call(&self) -> Node {
        let words = &self.phrases.letter;
        let row = |when: &str, what: &str| Item::led(format!("{when}:"), what);
        Node::Callout {
            title: words.who_to_call.clone(),
            texts: vec![
                row(&words.fire, &words.fire_what),
                row(&words.neutral, &words.neutral_what),
                row(&words.warm, &words.warm_what),
                row(&words.trips, &words.trips_what),
            ],
            strong: true,
        }
    }

    pub(super) fn cautions(&self) -> Vec<Node> {
        let words = &self.phrases.letter;
        let mut items = vec![&words.caution_cover, &words.caution_live];
        if self.lacks_single_main() {
            items.push(&words.caution_no_main);
        }
        items.extend([&words.caution_rules, &words.caution_day]);
        let items = items.into_iter().map(|text| Item::plain(text.clone())).collect();
        vec![heading(2, words.cautions.clone()), list(items)]
    }

    /// Is a panel of the service without one single main?
    fn lacks_single_main(&self) -> bool {
        self.job.installation.panels.iter().any(|panel| {
            let service = |feed: &Feed| matches!(feed, Feed::ServiceLugs | Feed::MainBreaker { .. });
            panel.lacks_single_main() && panel.sections.iter().any(|section| service(&section.feed))
        })
    }
}
