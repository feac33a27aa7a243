//! Temperature limits.

use model::{Standing, Temperature};
use physics::limits::{Item, all, limit};
use reference::assert_printed;

/// A19. Source: UL 489 clauses 7.1.4.2.2 and 7.1.4.1.6 as quoted in a bulletin on temperature rise (July 2016):
/// 90 °C at 40 °C for a standard-rated terminal, 85 °C for a non-metal handle, 100 °C for a 100 %-rated terminal.
#[test]
fn val_ul_489_terminal_and_handle() {
    let at_40 = |item| {
        let limit = limit(item);
        assert_eq!(limit.cite.standing, Standing::Published);
        limit.value.highest(Temperature::from_c(40.0)).expect("in range").c()
    };
    assert_printed("90", at_40(Item::Ul489TerminalStandard));
    assert_printed("85", at_40(Item::Ul489HandleNonmetal));
    assert_printed("60", at_40(Item::Ul489HandleMetal));
    assert_printed("100", at_40(Item::Ul489TerminalFullRated));
}

/// Source: list of what was not verified: UL 67, IEC 60898 and the handles and enclosures of IEC 61439 must not be
/// given as facts.
#[test]
fn verif_unread_standards_say_so() {
    for (item, limit) in all() {
        let unread = matches!(
            item,
            Item::Ul67Bus
                | Item::Ul67WireTerminal
                | Item::Iec60898Operator
                | Item::Iec60898Other
                | Item::Iec60898Terminal
                | Item::Iec61439EnclosureInsulating
                | Item::Iec61439EnclosureMetal
                | Item::Iec61439OperatorInsulating
                | Item::Iec61439OperatorMetal
        );
        assert_eq!(limit.is_verified(), !unread, "{item:?}");
    }
}
