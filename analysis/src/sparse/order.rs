//! In which order to eliminate, so that little fills in: approximate minimum degree.
//!
//! A quotient graph: what is eliminated becomes an element, the clique of its neighbours. A variable's degree is bounded from above
//! by its own neighbours and its elements less the newest one (Amestoy, Davis & Duff 1996, SIAM J Matrix Anal Appl 17:886);
//! elements that lie within the newest one are absorbed. Variables are not joined into larger ones.

use std::collections::BTreeSet;

/// What is left of the graph.
struct Quotient {
    /// Neighbours that are not eliminated, and elements that hold the variable.
    neighbours: Vec<Vec<u32>>,
    elements: Vec<Vec<u32>>,
    /// Variables of each element, by the variable that made it; empty where it was absorbed.
    members: Vec<Vec<u32>>,
    degree: Vec<usize>,
    is_done: Vec<bool>,
    /// Marks of one pass: a variable is marked where its mark is the pass's number.
    mark: Vec<u32>,
    pass: u32,
    /// For each element the number of its members outside the newest one, where `seen` is the pass's number.
    outside: Vec<usize>,
    seen: Vec<u32>,
}

/// The order of elimination: variables from the first one to eliminate to the last. `neighbours` lists, for each variable, all
/// others that it stands with.
pub(super) fn minimum_degree(neighbours: Vec<Vec<u32>>) -> Vec<usize> {
    let n = neighbours.len();
    let degree: Vec<usize> = neighbours.iter().map(Vec::len).collect();
    let mut queue: BTreeSet<(usize, usize)> = degree.iter().copied().zip(0..n).collect();
    let mut left = Quotient {
        neighbours,
        elements: vec![Vec::new(); n],
        members: vec![Vec::new(); n],
        degree,
        is_done: vec![false; n],
        mark: vec![0; n],
        pass: 0,
        outside: vec![0; n],
        seen: vec![0; n],
    };
    let mut order = Vec::with_capacity(n);
    while let Some((_, pivot)) = queue.pop_first() {
        order.push(pivot);
        for (variable, old) in left.eliminate(pivot, n - order.len()) {
            queue.remove(&(old, variable));
            queue.insert((left.degree[variable], variable));
        }
    }
    order
}

impl Quotient {
    /// Makes an element of a variable; the variables whose degree changed, with what it was.
    fn eliminate(&mut self, pivot: usize, remaining: usize) -> Vec<(usize, usize)> {
        self.is_done[pivot] = true;
        let members = self.clique(pivot);
        self.count_outside(&members);
        let mut changed = Vec::with_capacity(members.len());
        for variable in members.iter().map(|variable| *variable as usize) {
            changed.push((variable, self.degree[variable]));
            self.update(variable, pivot, members.len() - 1, remaining);
        }
        self.members[pivot] = members;
        changed
    }

    /// The neighbours of a variable, over its elements, which they absorb.
    fn clique(&mut self, pivot: usize) -> Vec<u32> {
        self.pass += 1;
        self.mark[pivot] = self.pass;
        let mut members = Vec::new();
        let own = std::mem::take(&mut self.neighbours[pivot]);
        let elements = std::mem::take(&mut self.elements[pivot]);
        let of_elements: Vec<Vec<u32>> =
            elements.iter().map(|element| std::mem::take(&mut self.members[*element as usize])).collect();
        for variable in own.into_iter().chain(of_elements.into_iter().flatten()) {
            let place = variable as usize;
            if !self.is_done[place] && self.mark[place] != self.pass {
                self.mark[place] = self.pass;
                members.push(variable);
            }
        }
        members.sort_unstable();
        members
    }

    /// For each element of any member: how many of its own members lie outside.
    fn count_outside(&mut self, members: &[u32]) {
        for variable in members {
            for element in &self.elements[*variable as usize] {
                let element = *element as usize;
                if self.seen[element] != self.pass {
                    self.seen[element] = self.pass;
                    self.members[element].retain(|member| !self.is_done[*member as usize]);
                    self.outside[element] = self.members[element].len();
                }
                self.outside[element] = self.outside[element].saturating_sub(1);
            }
        }
    }

    /// Lists and degree of a member of the newest element.
    fn update(&mut self, variable: usize, pivot: usize, others: usize, remaining: usize) {
        let (mark, pass, is_done) = (&self.mark, self.pass, &self.is_done);
        self.neighbours[variable].retain(|other| !is_done[*other as usize] && mark[*other as usize] != pass);
        let (members, outside) = (&self.members, &self.outside);
        self.elements[variable]
            .retain(|element| !members[*element as usize].is_empty() && outside[*element as usize] > 0);
        let beyond: usize = self.elements[variable].iter().map(|element| outside[*element as usize]).sum();
        self.elements[variable].push(pivot as u32);
        let bound = self.neighbours[variable].len() + others + beyond;
        self.degree[variable] = bound.min(self.degree[variable] + others).min(remaining.saturating_sub(1));
    }
}
