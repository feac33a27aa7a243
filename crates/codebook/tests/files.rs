//! Meter files and data files that are damaged in any way: never a panic, and never a different answer for the way
//! they are cut into pieces.

use codebook::meter::{CsvForm, CsvReader, CsvTrouble, EspiReader, Import};
use codebook::{Book, Profile};
use proptest::prelude::*;

const ESPI: &str = "<?xml version=\"1.0\"?><!-- c --><feed xmlns=\"a\"><entry><link rel=\"self\" href=\"U/1/MeterReading/2/IntervalBlock/3\"/>\
    <content><ReadingType><uom>72</uom><powerOfTenMultiplier>0</powerOfTenMultiplier></ReadingType><IntervalBlock>\
    <IntervalReading><timePeriod><duration>900</duration><start>1600000000</start></timePeriod><value>250</value></IntervalReading>\
    <IntervalReading><timePeriod><duration>900</duration><start>1600000900</start></timePeriod><value>350</value></IntervalReading>\
    </IntervalBlock></content></entry></feed>";
const CSV: &str = "Date,Start Time,Usage (kWh)\n2020-03-08,0:00,1\n2020-03-08,1:00,2\n2020-03-08,3:00,3\n2020-03-08,4:00,4\n";

fn espi(bytes: &[u8], piece: usize) -> Option<Import> {
    let mut reader = EspiReader::new();
    for part in bytes.chunks(piece) {
        reader.feed(part).ok()?;
    }
    reader.finish().ok()
}

fn csv(bytes: &[u8], piece: usize) -> Result<Import, CsvTrouble> {
    let mut reader = CsvReader::new(CsvForm::default());
    for part in bytes.chunks(piece) {
        reader.feed(part)?;
    }
    reader.finish()
}

/// A text with some bytes changed, left out or put in.
fn damaged(text: &'static str) -> impl Strategy<Value = Vec<u8>> {
    proptest::collection::vec((any::<prop::sample::Index>(), 0u8..3, any::<u8>()), 0..6).prop_map(
        move |changes| {
            let mut bytes = text.as_bytes().to_vec();
            for (at, what, byte) in changes {
                let at = at.index(bytes.len());
                match what {
                    0 => bytes[at] = byte,
                    1 => {
                        bytes.remove(at);
                    }
                    _ => bytes.insert(at, byte),
                }
            }
            bytes
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn damaged_xml_reads_the_same_in_any_pieces(bytes in damaged(ESPI), piece in 1usize..40) {
        prop_assert_eq!(espi(&bytes, piece), espi(&bytes, bytes.len()));
    }

    #[test]
    fn damaged_csv_reads_the_same_in_any_pieces(bytes in damaged(CSV), piece in 1usize..40) {
        prop_assert_eq!(csv(&bytes, piece), csv(&bytes, bytes.len()));
    }

    #[test]
    fn any_bytes_are_survived(bytes in proptest::collection::vec(any::<u8>(), 1..300)) {
        let _ = espi(&bytes, 7);
        let _ = csv(&bytes, 7);
    }
}

proptest! {
    #[test]
    fn any_text_is_survived(text in "\\PC{0,200}") {
        let _ = Book::with_refusals(&text);
        let _ = Profile::read(crate::book(), &text);
    }
}

#[test]
fn the_whole_samples_read() {
    let import = espi(ESPI.as_bytes(), 5).expect("it is whole");
    assert_eq!(import.only().expect("one").series.as_ref().expect("usable").kwh(), 0.6);
    let import = csv(CSV.as_bytes(), 5).expect("it is whole");
    assert_eq!(import.only().expect("one").series.as_ref().expect("usable").kwh(), 10.0);
}
