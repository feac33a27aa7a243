//! Chains of a judgement that other instances of this module run, each in a thread of its own, and that one concludes.
//!
//! All are asked the same question, so each begins the same judgement; a mark before the draws says which one it is.

use crate::answer::judged_job;
use crate::ask::Ask;
use crate::judging::{begin, key};
use crate::shelf::{Done, Shelf};
use pages::JobView;

/// Length of the mark.
const MARK: usize = 8;

/// Runs a chain of the judgement that a question is about; its draws with their mark, or why that cannot be.
///
/// # Errors
/// The job is not at hand or cannot be judged.
pub fn chain(ask: &Ask, number: usize, shelf: &mut Shelf) -> Result<Vec<u8>, String> {
    let view = judged_job(ask, shelf)?;
    begin(ask, &view, shelf)?;
    let of = key(ask, &view);
    let begun = shelf.begun(&of).ok_or("this job cannot be judged yet")?;
    let mut bytes = mark(&of).to_vec();
    bytes.extend(begun.chain(number));
    Ok(bytes)
}

/// Concludes from chains; nothing is kept of chains that are of another judgement.
///
/// # Errors
/// They are of another judgement.
pub(crate) fn conclude(
    ask: &Ask,
    view: &JobView,
    chains: &[Vec<u8>],
    shelf: &mut Shelf,
) -> Result<(), String> {
    let of = key(ask, view);
    let own = mark(&of);
    let draws: Option<Vec<Vec<u8>>> =
        chains.iter().map(|chain| chain.strip_prefix(&own).map(<[u8]>::to_vec)).collect();
    begin(ask, view, shelf)?;
    let outcome = match (shelf.begun(&of), draws) {
        (Some(begun), Some(draws)) => begun.conclude(&draws),
        _ => None,
    };
    let (assessment, warm) = outcome.ok_or("these are not the chains of this judgement")?;
    shelf.keep_judged(&view.name, Done { of, outcome: Ok(assessment), warm: Some(warm) });
    Ok(())
}

/// Mark of a judgement: FNV-1a of what it is of. It tells apart what this program made; it is no protection.
fn mark(of: &str) -> [u8; MARK] {
    let step = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    of.bytes().fold(0xcbf2_9ce4_8422_2325, step).to_le_bytes()
}
