//! Sentences of the shelf: which lots, which packages, what a good part costs.

use super::figure::{Reader, money};
use crate::plan::{Need, Plan};
use crate::stock::{Held, LotWord, Withdrawal, Word};

/// What comes from which lot, what is bought, what a good part costs: a sentence each.
pub(super) fn told(p: &Plan, reader: Reader) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(drawn) = &p.drawn {
        all.extend(p.needs.iter().filter_map(|n| from_lots(drawn, n, reader)));
        all.extend(drawn.words.iter().map(|w| word(w, p)));
    }
    all.extend(p.orders.iter().map(|o| {
        let packages: Vec<String> = o
            .cover
            .bought
            .iter()
            .map(|b| format!("{} x {}", b.count, b.package))
            .collect();
        format!(
            "Buy of {}: {}, {}; {} are left over.",
            o.name,
            packages.join(" and "),
            money(o.cover.cost),
            held(o.cover.left_over, reader)
        )
    }));
    if let Some(c) = &p.good_parts {
        all.push(format!(
            "A good part costs {}, hands and spoiled ones with it; a spoiled one loses {}. It takes {:.1} castings in the mean, \
             {} to be sure (19 of 20 times).",
            money(c.part),
            money(c.casting),
            c.castings,
            c.castings_to_be_sure
        ));
    }
    all
}

fn held(h: Held, reader: Reader) -> String {
    match (h.as_mass(), h.as_area()) {
        (Some(m), _) => reader.brief(m),
        (_, Some(a)) => reader.brief(a),
        _ => h.to_string(),
    }
}

/// "white gel coat: 32.2 g from lot 17-A (cup 1)".
fn from_lots(drawn: &Withdrawal, need: &Need, reader: Reader) -> Option<String> {
    let taken: Vec<String> = drawn
        .taken
        .iter()
        .filter(|t| t.material == need.material)
        .map(|t| format!("{} from lot {} ({})", held(t.amount, reader), t.lot, t.batch))
        .collect();
    (!taken.is_empty()).then(|| format!("From the shelf, {}: {}.", need.name, taken.join(", ")))
}

fn word(w: &LotWord, p: &Plan) -> String {
    let need = p.needs.iter().find(|n| n.material == w.material);
    let name = need.map_or(w.material.as_str(), |n| n.name.as_str());
    let batch = w.batch.as_deref().unwrap_or("a batch");
    let why = match w.word {
        Word::Expired => "has expired and stays where it is".to_owned(),
        Word::DrawnExpired => format!("has expired and goes into {batch}: make a test cup of it first"),
        Word::StoredTooWarm => {
            "is stored warmer than its label allows: make a test cup of it first; peroxide is to be moved at once".to_owned()
        }
        Word::TooSmall => format!("is passed over: too little is left in it for {batch}"),
        Word::KeptForALargerBatch => {
            format!("is passed over for {batch}: a larger batch finds no other lot")
        }
        _ => return format!("Look at lot {} of {name}.", w.lot),
    };
    format!("Lot {} of {name} {why}.", w.lot)
}
