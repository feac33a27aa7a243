//! Sparse LDLᵀ factorisation with a fixed pattern, for the hot loop.
//!
//! Written here, although libraries exist, because its results must be the same to the last bit on every machine
//! and in a browser, and because a panel's graph is a near-tree for which a minimum-degree order leaves almost no
//! fill. Property-tested against a dense library solver in `tests/reference`.

/// A pivot was not positive: the matrix is not positive definite.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "pivot {pivot} of row {row} is not positive: a part of the network is not tied to any fixed temperature"
)]
pub struct NotPositiveDefinite {
    /// Row in the caller's order.
    pub row: usize,
    /// Pivot found.
    pub pivot: f64,
}

/// Factorisation of a symmetric positive definite matrix with a fixed pattern.
#[derive(Debug, Clone)]
pub struct Ldl {
    n: usize,
    /// `order[new] = old`.
    order: Vec<usize>,
    /// Column starts of the strictly lower factor, by new index.
    col_start: Vec<usize>,
    /// Row (new index) of each factor entry, ascending in a column.
    row_of: Vec<usize>,
    /// For each off-diagonal pair given to `new`, its place in the factor.
    place_of_edge: Vec<usize>,
    lower: Vec<f64>,
    diagonal: Vec<f64>,
    scratch: Vec<f64>,
}

impl Ldl {
    /// Symbolic analysis for `n` unknowns and the given off-diagonal pairs (each once, no self-pairs).
    pub fn new(n: usize, edges: &[(usize, usize)]) -> Self {
        let order = minimum_degree(n, edges);
        let mut new_of = vec![0; n];
        for (new, &old) in order.iter().enumerate() {
            new_of[old] = new;
        }
        let mut columns: Vec<Vec<usize>> = vec![Vec::new(); n];
        for &(a, b) in edges {
            let (low, high) = (new_of[a].min(new_of[b]), new_of[a].max(new_of[b]));
            columns[low].push(high);
        }
        // Fill: the pattern of a column joins that of its parent, the first row below the diagonal.
        for col in 0..n {
            columns[col].sort_unstable();
            columns[col].dedup();
            if let Some(&parent) = columns[col].first() {
                let passed: Vec<usize> = columns[col][1..].to_vec();
                columns[parent].extend(passed);
            }
        }
        let mut col_start = Vec::with_capacity(n + 1);
        let mut row_of = Vec::new();
        for column in &columns {
            col_start.push(row_of.len());
            row_of.extend_from_slice(column);
        }
        col_start.push(row_of.len());
        let place = |a: usize, b: usize| {
            let (low, high) = (new_of[a].min(new_of[b]), new_of[a].max(new_of[b]));
            let column = &row_of[col_start[low]..col_start[low + 1]];
            col_start[low] + column.binary_search(&high).expect("every pair was put into the pattern above")
        };
        let place_of_edge = edges.iter().map(|&(a, b)| place(a, b)).collect();
        let n_lower = row_of.len();
        Ldl {
            n,
            order,
            col_start,
            row_of,
            place_of_edge,
            lower: vec![0.0; n_lower],
            diagonal: vec![0.0; n],
            scratch: vec![0.0; n],
        }
    }

    /// Number of stored entries below the diagonal, fill included.
    pub fn n_lower(&self) -> usize {
        self.lower.len()
    }

    /// Numeric factorisation of the matrix with this diagonal (caller's order) and these off-diagonal values
    /// (in the order of the pairs given to [`Ldl::new`]).
    pub fn factor(&mut self, diagonal: &[f64], off_diagonal: &[f64]) -> Result<(), NotPositiveDefinite> {
        self.lower.fill(0.0);
        for (new, &old) in self.order.iter().enumerate() {
            self.diagonal[new] = diagonal[old];
        }
        for (&place, &value) in self.place_of_edge.iter().zip(off_diagonal) {
            self.lower[place] += value;
        }
        // Right-looking: each column, once final, updates the columns of its rows.
        for col in 0..self.n {
            let pivot = self.diagonal[col];
            if pivot.is_nan() || pivot <= 0.0 {
                return Err(NotPositiveDefinite { row: self.order[col], pivot });
            }
            let (start, end) = (self.col_start[col], self.col_start[col + 1]);
            for at in start..end {
                let row = self.row_of[at];
                let value = self.lower[at];
                let scaled = value / pivot;
                self.diagonal[row] -= scaled * value;
                // The rest of this column is a subset of the pattern of column `row`.
                let mut target = self.col_start[row];
                for below in at + 1..end {
                    let deeper = self.row_of[below];
                    while self.row_of[target] < deeper {
                        target += 1;
                    }
                    self.lower[target] -= scaled * self.lower[below];
                }
            }
            for at in start..end {
                self.lower[at] /= pivot;
            }
        }
        Ok(())
    }

    /// Solves for one right-hand side in place, caller's order, with the last factorisation.
    pub fn solve(&mut self, rhs: &mut [f64]) {
        for (new, &old) in self.order.iter().enumerate() {
            self.scratch[new] = rhs[old];
        }
        for col in 0..self.n {
            let value = self.scratch[col];
            for at in self.col_start[col]..self.col_start[col + 1] {
                self.scratch[self.row_of[at]] -= self.lower[at] * value;
            }
        }
        for col in (0..self.n).rev() {
            let mut value = self.scratch[col] / self.diagonal[col];
            for at in self.col_start[col]..self.col_start[col + 1] {
                value -= self.lower[at] * self.scratch[self.row_of[at]];
            }
            self.scratch[col] = value;
        }
        for (new, &old) in self.order.iter().enumerate() {
            rhs[old] = self.scratch[new];
        }
    }
}

/// Greedy minimum-degree order: `order[new] = old`; ties go to the smaller index.
fn minimum_degree(n: usize, edges: &[(usize, usize)]) -> Vec<usize> {
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); n];
    for &(a, b) in edges {
        neighbours[a].push(b);
        neighbours[b].push(a);
    }
    for list in &mut neighbours {
        list.sort_unstable();
        list.dedup();
    }
    let mut done = vec![false; n];
    let mut order = Vec::with_capacity(n);
    while order.len() < n {
        let next = (0..n)
            .filter(|&node| !done[node])
            .min_by_key(|&node| (neighbours[node].len(), node))
            .expect("fewer than n nodes are done");
        done[next] = true;
        order.push(next);
        let clique = std::mem::take(&mut neighbours[next]);
        for &node in &clique {
            let mut joined: Vec<usize> = neighbours[node]
                .iter()
                .chain(&clique)
                .copied()
                .filter(|&other| other != node && other != next)
                .collect();
            joined.sort_unstable();
            joined.dedup();
            neighbours[node] = joined;
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_a_small_ring() {
        let edges = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2)];
        let diagonal = [5.0, 4.0, 6.0, 3.0];
        let off = [-1.0, -0.5, -2.0, -0.25, -1.5];
        let mut ldl = Ldl::new(4, &edges);
        ldl.factor(&diagonal, &off).expect("diagonally dominant");
        let wanted = [1.0, -2.0, 0.5, 3.0];
        let mut rhs = [0.0; 4];
        for row in 0..4 {
            rhs[row] = diagonal[row] * wanted[row];
        }
        for (&(a, b), value) in edges.iter().zip(off) {
            rhs[a] += value * wanted[b];
            rhs[b] += value * wanted[a];
        }
        ldl.solve(&mut rhs);
        for (got, want) in rhs.iter().zip(wanted) {
            assert!((got - want).abs() < 1e-12, "{got} {want}");
        }
    }

    #[test]
    fn refuses_a_floating_network() {
        let mut ldl = Ldl::new(2, &[(0, 1)]);
        assert!(ldl.factor(&[1.0, 1.0], &[-1.0]).is_err());
    }
}
