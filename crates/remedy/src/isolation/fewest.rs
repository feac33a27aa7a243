//! The fewest movements that part some parts from every source: a minimum cut.

use super::supply_graph::SupplyGraph;
use model::isolation::{Disconnect, Part};
use petgraph::Direction;
use petgraph::algo::ford_fulkerson;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::collections::BTreeSet;

/// Capacity of solid copper: more than all handles of any house together.
const SOLID: u32 = 100_000;

/// Which of several sets of equally few movements to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Near {
    /// Those nearest to the goal: what need not be switched off stays on.
    Goal,
    /// Those nearest to the sources: as much as possible is cut off.
    Sources,
}

/// The fewest disconnects that cut all of `goal` off from all sources; `None` where no movement of a hand can do it.
pub(super) fn fewest(graph: &SupplyGraph, goal: &BTreeSet<Part>, near: Near) -> Option<BTreeSet<Disconnect>> {
    let mut network: DiGraph<(), u32> = DiGraph::new();
    for _ in graph.graph.node_indices() {
        network.add_node(());
    }
    let (start, end) = (network.add_node(()), network.add_node(()));
    for (a, b, link) in graph.links() {
        let capacity = if link.is_some() { 1 } else { SOLID };
        network.add_edge(a, b, capacity);
        network.add_edge(b, a, capacity);
    }
    for part in goal {
        network.add_edge(start, graph.index(part)?, SOLID);
    }
    for source in graph.sources() {
        network.add_edge(graph.index(source)?, end, SOLID);
    }
    let (flow, flows) = ford_fulkerson(&network, start, end);
    if SOLID <= flow {
        return None;
    }
    let inside = match near {
        Near::Goal => residual(&network, &flows, start, Direction::Outgoing),
        Near::Sources => residual(&network, &flows, end, Direction::Incoming),
    };
    let crossing = graph.links().filter(|(a, b, _)| inside.contains(a) != inside.contains(b));
    Some(crossing.filter_map(|(_, _, link)| link.clone()).collect())
}

/// Nodes to which, or from which, the flow has left a free way: `Outgoing` from the node, `Incoming` to it.
fn residual(
    network: &DiGraph<(), u32>,
    flows: &[u32],
    node: NodeIndex,
    along: Direction,
) -> BTreeSet<NodeIndex> {
    let mut inside = BTreeSet::from([node]);
    let mut open = vec![node];
    while let Some(node) = open.pop() {
        let free =
            network.edges_directed(node, along).filter(|edge| flows[edge.id().index()] < *edge.weight());
        let back = network.edges_directed(node, along.opposite()).filter(|edge| 0 < flows[edge.id().index()]);
        let other = |source: NodeIndex, target: NodeIndex| if source == node { target } else { source };
        let next: Vec<NodeIndex> = free.chain(back).map(|edge| other(edge.source(), edge.target())).collect();
        for node in next {
            if inside.insert(node) {
                open.push(node);
            }
        }
    }
    inside
}
