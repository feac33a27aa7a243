//! Values by class of condition.

use crate::problem::CLASSES;

/// A value for each class. Unlike `map` of an array it is inlined wherever it stands, in the innermost loops too.
#[inline(always)]
pub(crate) fn by_class<T>(mut value: impl FnMut(usize) -> T) -> [T; CLASSES] {
    [value(0), value(1), value(2), value(3)]
}
