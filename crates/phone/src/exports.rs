//! What the browser calls: room for a question, the answer, where it lies. Bytes in, bytes out; no glue is generated.
#![allow(unsafe_code)] // Only to keep the names of these functions; nothing here touches memory by a pointer.

use crate::answer::answer_json;
use crate::shelf::Shelf;
use std::cell::RefCell;

thread_local! {
    static QUESTION: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static ANSWER: RefCell<String> = const { RefCell::new(String::new()) };
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

/// Answers the question in the room; the number of bytes of the answer.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn answer() -> usize {
    let question = QUESTION.take();
    let text = String::from_utf8_lossy(&question);
    let answer = SHELF.with_borrow_mut(|shelf| answer_json(&text, shelf));
    ANSWER.replace(answer);
    ANSWER.with_borrow(String::len)
}

/// Where the answer lies, until the next question.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn said() -> *const u8 {
    ANSWER.with_borrow(|answer| answer.as_ptr())
}
