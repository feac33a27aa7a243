//! How everything is fed, as a graph: parts, and between them solid copper or something that a hand can open.

use model::breaker::LoadClass;
use model::id::Slot;
use model::installation::Installation;
use model::isolation::{Disconnect, Part};
use model::panel::{Feed, Panel};
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::{Bfs, EdgeFiltered, EdgeRef};
use std::collections::{BTreeMap, BTreeSet};

/// Between two parts: `None` where nothing can be opened.
pub(crate) type Link = Option<Disconnect>;

/// The graph of an installation.
#[derive(Debug)]
pub(crate) struct SupplyGraph {
    pub(super) graph: UnGraph<Part, Link>,
    nodes: BTreeMap<Part, NodeIndex>,
    /// Parts that the utility feeds without anything between.
    pub(super) from_utility: BTreeSet<Part>,
    /// Buses fed by something that the record does not hold; they count as fed by the utility, too.
    pub(super) unknown: BTreeSet<Part>,
    /// Branches that hold a source: generator, solar, battery.
    pub(super) backfed: BTreeSet<Part>,
}

impl SupplyGraph {
    /// The graph of what the record describes.
    pub(crate) fn of(installation: &Installation) -> Self {
        let mut all = SupplyGraph {
            graph: UnGraph::default(),
            nodes: BTreeMap::new(),
            from_utility: BTreeSet::new(),
            unknown: BTreeSet::new(),
            backfed: BTreeSet::new(),
        };
        for panel in &installation.panels {
            all.add_breakers(panel);
        }
        for panel in &installation.panels {
            all.add_feeds(installation, panel);
        }
        all
    }

    fn node(&mut self, part: Part) -> NodeIndex {
        if let Some(&node) = self.nodes.get(&part) {
            return node;
        }
        let node = self.graph.add_node(part.clone());
        self.nodes.insert(part, node);
        node
    }

    fn link(&mut self, a: Part, b: Part, link: Link) {
        let (a, b) = (self.node(a), self.node(b));
        self.graph.add_edge(a, b, link);
    }

    fn add_breakers(&mut self, panel: &Panel) {
        for breaker in &panel.breakers {
            let slot = Slot::new(panel.id.clone(), breaker.spaces[0]);
            let Some(section) = panel.section_of(slot.space) else { continue };
            let branch = Part::Branch(slot.clone());
            let class = breaker.circuit.as_ref().and_then(|circuit| circuit.class);
            if class == Some(LoadClass::Source) {
                self.backfed.insert(branch.clone());
            }
            let bus = Part::Bus(panel.id.clone(), section.id.clone());
            self.link(bus, branch, Some(Disconnect::Breaker(slot)));
        }
    }

    fn add_feeds(&mut self, installation: &Installation, panel: &Panel) {
        for section in &panel.sections {
            let bus = Part::Bus(panel.id.clone(), section.id.clone());
            let lugs = Part::LineLugs(panel.id.clone());
            match &section.feed {
                Feed::ServiceLugs => {
                    self.from_utility.insert(lugs.clone());
                    self.link(lugs, bus, None);
                }
                Feed::MainBreaker { .. } => {
                    self.from_utility.insert(lugs.clone());
                    let main = Disconnect::Main(panel.id.clone(), section.id.clone());
                    self.link(lugs, bus, Some(main));
                }
                Feed::Breaker { slot } => {
                    // Any pole may be named; the branch goes by the first.
                    let first = installation.breaker_at(slot).map_or(slot.space, |breaker| breaker.spaces[0]);
                    let branch = Part::Branch(Slot::new(slot.panel.clone(), first));
                    if self.nodes.contains_key(&branch) {
                        self.link(branch, bus, None);
                    } else {
                        // Fed by something that the record does not hold: unknown means live.
                        self.from_utility.insert(bus.clone());
                        self.unknown.insert(bus.clone());
                        self.node(bus);
                    }
                }
            }
        }
    }

    /// All parts.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &Part> {
        self.nodes.keys()
    }

    /// Does the graph hold the part?
    pub(super) fn holds(&self, part: &Part) -> bool {
        self.nodes.contains_key(part)
    }

    /// Node of a part.
    pub(super) fn index(&self, part: &Part) -> Option<NodeIndex> {
        self.nodes.get(part).copied()
    }

    /// Parts that hold or border a source.
    pub(super) fn sources(&self) -> impl Iterator<Item = &Part> {
        self.from_utility.iter().chain(&self.backfed)
    }

    /// Branches that feed no bus: circuits of the house, sources among them.
    pub(super) fn circuits(&self) -> impl Iterator<Item = &Part> {
        self.parts().filter(|part| {
            matches!(part, Part::Branch(_))
                && self.index(part).is_some_and(|node| self.graph.edges(node).count() < 2)
        })
    }

    /// Parts that some source reaches with these opened.
    pub(super) fn live(&self, opened: &BTreeSet<Disconnect>) -> BTreeSet<Part> {
        self.live_from(opened, self.sources())
    }

    /// The same with the utility cut, or sources behind a breaker shut down.
    pub(crate) fn live_with(
        &self,
        opened: &BTreeSet<Disconnect>,
        utility_cut: bool,
        shut_down: &BTreeSet<Slot>,
    ) -> BTreeSet<Part> {
        let is_on = |part: &&Part| !matches!(part, Part::Branch(slot) if shut_down.contains(slot));
        let utility = if utility_cut { &self.unknown } else { &self.from_utility };
        self.live_from(opened, utility.iter().chain(self.backfed.iter().filter(is_on)))
    }

    fn live_from<'a>(
        &self,
        opened: &BTreeSet<Disconnect>,
        sources: impl Iterator<Item = &'a Part>,
    ) -> BTreeSet<Part> {
        let closed = EdgeFiltered::from_fn(&self.graph, |edge| {
            edge.weight().as_ref().is_none_or(|disconnect| !opened.contains(disconnect))
        });
        let mut live = BTreeSet::new();
        for source in sources {
            let Some(start) = self.index(source) else { continue };
            if live.contains(source) {
                continue;
            }
            let mut walk = Bfs::new(&closed, start);
            while let Some(node) = walk.next(&closed) {
                live.insert(self.graph[node].clone());
            }
        }
        live
    }

    /// Links as pairs of parts with what opens them.
    pub(super) fn links(&self) -> impl Iterator<Item = (NodeIndex, NodeIndex, &Link)> {
        self.graph.edge_references().map(|edge| (edge.source(), edge.target(), edge.weight()))
    }
}
