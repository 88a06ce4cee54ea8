//! What must hold for any request at the door.

use std::sync::atomic::{AtomicUsize, Ordering};

use gelwright::{Cancel, ErrorKind, door};

use super::answer;

/// A long question is stopped when it looks for the so many-th time whether to go on.
const LOOKS: usize = 24;

/// The first line names the question, the rest is its request: whatever they are, the door answers soundly or refuses.
pub(crate) fn check(text: &str) {
    let (question, request) = text.split_once('\n').unwrap_or((text, ""));
    let Some(entry) = door::questions().find(|e| e.name == question) else {
        match door::ask(question, request) {
            Err(e) => assert_eq!(e.kind(), ErrorKind::UnknownName, "{e}"),
            Ok(answer) => panic!("no question is named {question:?}, and it is answered {answer}"),
        }
        return;
    };
    let looks = AtomicUsize::new(0);
    let enough = || looks.fetch_add(1, Ordering::Relaxed) >= LOOKS;
    match entry.ask(request, Cancel::when(&enough)) {
        Ok(answer) => answer::sound(request, &answer.text),
        Err(e) => answer::refused(&e),
    }
}
