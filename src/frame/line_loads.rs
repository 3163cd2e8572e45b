//! The line loads of one case, bar by bar.

use std::borrow::Cow;

use crate::frame::bar::{self, BarLine, Vector12};
use crate::frame::{BarLoad, Frame};

/// Line loads in the order of their bars; those of one bar stay in the order in which they were given.
#[must_use]
pub fn in_order(loads: &[BarLoad]) -> Cow<'_, [BarLoad]> {
    if loads.is_sorted_by_key(|load| load.bar.0) {
        return Cow::Borrowed(loads);
    }
    let mut sorted = loads.to_vec();
    sorted.sort_by_key(|load| load.bar.0);
    Cow::Owned(sorted)
}

/// The first loads of an ordered list, those of bar `index`, which are taken off it.
pub fn take<'a>(rest: &mut &'a [BarLoad], index: usize) -> &'a [BarLoad] {
    let (own, others) = rest.split_at(rest.iter().take_while(|load| load.bar.0 == index).count());
    *rest = others;
    own
}

/// The loaded bars of one case, with what their loads do to nodes that are held.
#[derive(Debug, Clone, Default)]
pub struct LineLoads {
    loads: Vec<BarLoad>,
    bars: Vec<Loaded>,
}

#[derive(Debug, Clone)]
struct Loaded {
    bar: usize,
    /// Where its loads end among all.
    end: usize,
    held: Vector12,
}

impl LineLoads {
    /// Of a frame whose bars lie along `lines`. Every load must be on one of them.
    #[must_use]
    pub fn new(frame: &Frame, lines: &[BarLine], mut loads: Vec<BarLoad>) -> Self {
        loads.sort_by_key(|load| load.bar.0);
        let (mut bars, mut rest) = (Vec::new(), loads.as_slice());
        while let Some(BarLoad { bar, .. }) = rest.first() {
            let own = take(&mut rest, bar.0);
            let held = bar::fixed_end_forces(&frame.bars[bar.0], &lines[bar.0], own);
            bars.push(Loaded { bar: bar.0, end: loads.len() - rest.len(), held });
        }
        Self { loads, bars }
    }

    /// Every loaded bar, in order, with its loads.
    pub fn each(&self) -> impl Iterator<Item = (usize, &[BarLoad])> {
        let mut start = 0;
        self.bars.iter().map(move |loaded| {
            let own = &self.loads[start..loaded.end];
            start = loaded.end;
            (loaded.bar, own)
        })
    }

    /// Every loaded bar, in order, with the local forces of held nodes on it ([`bar::fixed_end_forces`]).
    pub fn held(&self) -> impl Iterator<Item = (usize, &Vector12)> {
        self.bars.iter().map(|loaded| (loaded.bar, &loaded.held))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::linear::tests::frame;
    use crate::frame::{BarId, bar};
    use crate::vector::Vec3;

    /// Whatever the order in which they are given, every bar has its own loads, in their own order.
    #[test]
    fn every_bar_has_its_own_loads() {
        let frame = frame();
        let lines: Vec<BarLine> =
            (0..frame.bars.len()).map(|index| bar::line(&frame, BarId(index)).unwrap()).collect();
        let load = |bar: usize, down: f64| BarLoad {
            bar: BarId(bar),
            span: [0.1, 0.9],
            intensity: [Vec3::new(0.0, 0.0, -down); 2],
        };
        let given = [load(2, 1.0), load(0, 2.0), load(2, 3.0), load(0, 5.0)];
        let loads = LineLoads::new(&frame, &lines, given.to_vec());
        let each: Vec<(usize, Vec<f64>)> = loads
            .each()
            .map(|(bar, own)| (bar, own.iter().map(|load| -load.intensity[0].z).collect()))
            .collect();
        assert_eq!(each, [(0, vec![2.0, 5.0]), (2, vec![1.0, 3.0])]);
        for ((bar, held), (again, own)) in loads.held().zip(loads.each()) {
            assert_eq!(bar, again);
            assert_eq!(*held, bar::fixed_end_forces(&frame.bars[bar], &lines[bar], own));
        }
        let sorted = in_order(&given).into_owned();
        assert!(matches!(in_order(&sorted), Cow::Borrowed(_)));
        let mut rest = sorted.as_slice();
        assert_eq!([0, 1, 2].map(|bar| take(&mut rest, bar).len()), [2, 0, 2]);
        assert!(rest.is_empty());
    }
}
