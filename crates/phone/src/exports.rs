//! What the browser calls: room for a question, the answer, where it lies. Bytes in, bytes out; no glue is generated.
#![allow(unsafe_code)] // Only to keep the names of these functions; nothing here touches memory by a pointer.

use crate::answer::answer_json_with;
use crate::ask::Ask;
use crate::shelf::Shelf;
use std::cell::RefCell;

thread_local! {
    static QUESTION: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static CHAINS: RefCell<Vec<Vec<u8>>> = const { RefCell::new(Vec::new()) };
    static ANSWER: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static SHELF: RefCell<Shelf> = RefCell::new(Shelf::default());
}

/// Room for a question of so many bytes; the caller writes it there.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn room(n_bytes: usize) -> *mut u8 {
    QUESTION.with_borrow_mut(|question| {
        question.clear();
        question.resize(n_bytes, 0);
        question.as_mut_ptr()
    })
}

/// Room for the draws of one more chain that was run elsewhere, for the next question. The chains come in their order.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn carried(n_bytes: usize) -> *mut u8 {
    CHAINS.with_borrow_mut(|chains| {
        chains.push(vec![0; n_bytes]);
        chains.last_mut().map_or(std::ptr::null_mut(), |chain| chain.as_mut_ptr())
    })
}

/// Answers the question in the room; the number of bytes of the answer.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn answer() -> usize {
    let (question, chains) = (QUESTION.take(), CHAINS.take());
    let text = String::from_utf8_lossy(&question);
    give(SHELF.with_borrow_mut(|shelf| answer_json_with(&text, &chains, shelf)).into_bytes())
}

/// Runs a chain of the judgement that the question in the room is about; the number of bytes of its draws, 0 where that cannot be.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn chain(number: usize) -> usize {
    let question = QUESTION.take();
    let draws = serde_json::from_slice::<Ask>(&question)
        .map_err(|error| error.to_string())
        .and_then(|ask| SHELF.with_borrow_mut(|shelf| crate::chain::chain(&ask, number, shelf)));
    give(draws.unwrap_or_default())
}

fn give(answer: Vec<u8>) -> usize {
    ANSWER.replace(answer);
    ANSWER.with_borrow(Vec::len)
}

/// Where the answer lies, until the next question.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn said() -> *const u8 {
    ANSWER.with_borrow(|answer| answer.as_ptr())
}
