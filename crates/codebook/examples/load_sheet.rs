//! The load of an invented house by every method, with all workings: `cargo run -p codebook --example load_sheet -- 2020`.

use codebook::load::{Dwelling, Item, Rating, Use, Wires, compare};
use codebook::{Book, Edition, NotAnEdition};
use model::System;

fn house() -> Dwelling {
    Dwelling {
        floor_ft2: Some(1850.0),
        adaptable_ft2: Some(0.0),
        adaptable_garage_ft2: Some(0.0),
        small_appliance_circuits: Some(2),
        laundry_circuits: Some(1),
        items: vec![
            Item::new("range", Use::Range, Rating::Kw(11.5)),
            Item::new("dryer", Use::Dryer, Rating::Kw(5.0)),
            Item::new("water heater", Use::Appliance, Rating::Kw(4.5)).on(Wires::LineToLine),
            Item::new("dishwasher", Use::Appliance, Rating::Amps { amps: 10.0, volts: 120.0 })
                .on(Wires::LineToNeutral),
            Item::new("disposer", Use::Appliance, Rating::Hp { hp: "1/2".to_owned(), volts: 115.0 })
                .on(Wires::LineToNeutral),
            Item::new("furnace blower", Use::AirHandler, Rating::Va(700.0)).on(Wires::LineToNeutral),
            Item::new("air conditioner", Use::Cooling, Rating::Amps { amps: 19.0, volts: 240.0 })
                .on(Wires::LineToLine),
            Item::new("vehicle charger", Use::Ev, Rating::Amps { amps: 24.0, volts: 240.0 }).added(),
        ],
        ..Dwelling::unknown(System::SplitPhase)
    }
}

fn main() -> Result<(), NotAnEdition> {
    let edition: Edition = std::env::args().nth(1).as_deref().unwrap_or("2020").parse()?;
    let book = Book::built_in();
    let comparison = compare(&book.edition(edition), &house(), None, Some(125.0));
    println!("An invented house. {}", comparison.law);
    for row in comparison.rows {
        println!("\n== {} ==", row.method);
        let sheet = match row.sheet {
            Ok(sheet) => sheet,
            Err(blocked) => {
                println!("{blocked}");
                continue;
            }
        };
        for working in sheet.all_workings() {
            println!("{}: {}   [{}]", working.title, working.result, working.cite);
            println!("    {}", working.formula);
            for input in working.inputs {
                println!("    {:>6}  {}: {}   [{}]", input.symbol, input.meaning, input.value, input.from);
            }
            println!("    holds for: {}", working.validity);
        }
        for note in sheet.notes {
            println!("note, {}: {}", note.subject, note.text);
        }
        for other in row.alternatives {
            println!("read otherwise: {} would give {:.0} A", other.reading.other(), other.load_a);
        }
        if let Some(room) = row.room {
            println!("{}", room.sentence());
        }
    }
    Ok(())
}
