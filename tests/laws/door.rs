//! Whatever is asked, the door answers or refuses in words.

use std::time::{Duration, Instant};

use gelwright::door;
use gelwright::strategies::document;
use gelwright::{ErrorKind, question::Entry};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

/// Asks for a fifth of a second at most.
fn ask(of: &Entry, request: &str) -> gelwright::Result<String> {
    let begun = Instant::now();
    door::ask_cancellable(of.name, request, &mut || {
        begun.elapsed() > Duration::from_millis(200)
    })
}

/// Requests drawn from each question's own table: right field by field, not always as a whole.
#[test]
fn every_question_answers_or_refuses_what_its_table_allows() {
    let mut never_answered = Vec::new();
    for q in door::questions() {
        let answered = std::cell::Cell::new(0);
        let config = Config {
            cases: if q.long { 8 } else { 48 },
            failure_persistence: None,
            ..Config::default()
        };
        TestRunner::new(config)
            .run(&document((q.request)()), |request| {
                match ask(q, &request.to_string()) {
                    Ok(answer) => {
                        answered.set(answered.get() + 1);
                        prop_assert!(
                            serde_json::from_str::<serde_json::Value>(&answer).is_ok(),
                            "{answer}"
                        );
                    }
                    Err(e) => {
                        prop_assert!(e.kind() != ErrorKind::NotFinite, "{}: {e}\n{request}", q.name);
                        prop_assert!(!e.to_string().is_empty());
                    }
                }
                Ok(())
            })
            .unwrap_or_else(|e| panic!("{}: {e}", q.name));
        if answered.get() == 0 {
            never_answered.push(q.name);
        }
    }
    println!("no draw was answered of: {}", never_answered.join(", "));
    assert!(
        never_answered.len() * 2 < door::questions().count(),
        "{never_answered:?}"
    );
}
