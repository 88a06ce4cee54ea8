//! The numbers of an answer, each with its path, and which of another run's answer are the same.
//!
//! Fields and names of a map are the same by their name, rows of a list by the words and short texts that stand in them (a
//! finding by what it is about): what comes or goes in some runs does not make others change places. Rows without texts go
//! by their place. Two numbers that measure different things are never the same.

use std::borrow::Cow;
use std::collections::HashMap;

use serde_json::Value;

use crate::error::{Error, ErrorKind, Result, joined};
use crate::noun::{Content, Field, Shape, Walk, Written};
use crate::quantity::spread::Input;
use crate::quantity::{Measure, QuantityText};

/// What a number measures.
#[derive(Debug, Clone)]
pub(super) enum Unit {
    /// In SI.
    Of(&'static Measure),
    /// A plain number.
    Plain,
    /// In the unit that it is written in.
    Written(String),
}

impl Unit {
    /// As a document holds it.
    pub(super) fn text(&self, x: f64) -> QuantityText {
        match self {
            Unit::Of(m) => QuantityText::of_si(x, m),
            Unit::Plain => QuantityText::of_number(x, ""),
            Unit::Written(unit) => QuantityText::of_number(x, unit),
        }
    }

    /// A difference of two.
    pub(super) fn difference(&self, x: f64) -> QuantityText {
        match self {
            Unit::Of(m) => QuantityText::of_si(x, m.difference()),
            Unit::Written(unit) if unit == "degC" => QuantityText::of_number(x, "K"),
            other => other.text(x),
        }
    }

    pub(super) fn name(&self) -> &str {
        match self {
            Unit::Of(m) => m.name,
            Unit::Plain => "",
            Unit::Written(unit) => unit,
        }
    }
}

/// A number of an answer.
#[derive(Debug, Clone)]
pub(super) struct Number {
    pub(super) path: String,
    pub(super) of: Unit,
    pub(super) x: f64,
}

/// The numbers of the answer at the spreads' values: those of other runs are put beside them.
#[derive(Debug)]
pub(crate) struct Middle {
    tree: Node,
    pub(super) numbers: Vec<Number>,
}

/// The numbers of a run's answer: those that the answer at the spreads' values has, NaN where it lacks one, and others.
#[derive(Debug)]
pub(super) struct Told {
    pub(super) known: Vec<f64>,
    pub(super) others: Vec<Number>,
}

/// The numbers of the answer at the spreads' values.
///
/// # Errors
/// [`ErrorKind::NotFinite`].
pub(crate) fn middle(answer: &dyn Written) -> Result<Middle> {
    let mut tree = tree(answer);
    let mut numbers = Vec::new();
    tree.number(&mut String::new(), &mut numbers)?;
    Ok(Middle { tree, numbers })
}

impl Middle {
    /// Those of another run's answer.
    ///
    /// # Errors
    /// [`ErrorKind::NotFinite`].
    pub(super) fn told(&self, answer: &dyn Written) -> Result<Told> {
        let mut told = Told {
            known: vec![f64::NAN; self.numbers.len()],
            others: Vec::new(),
        };
        beside(Some(&self.tree), &tree(answer), &mut String::new(), &mut told)?;
        Ok(told)
    }
}

type Name = Cow<'static, str>;

/// An answer, of which numbers and what rows are known by are kept.
#[derive(Debug)]
enum Node {
    Nothing,
    /// Which one it is, in the answer at the spreads' values.
    Number(Unit, f64, usize),
    Text(String),
    Fields(Vec<(Name, Node)>),
    List(Vec<Node>),
}

/// The longest text that a row is known by, in bytes: what is longer is a sentence, which may hold numbers that move.
const LONGEST_NAME: usize = 60;

/// Whether a row is known by a text: no sentence, and no time of day, which moves.
fn is_name(text: &str) -> bool {
    text.len() <= LONGEST_NAME && !text.starts_with(|c: char| c.is_ascii_digit() || c == '-')
}

impl Node {
    /// Numbers the numbers.
    fn number(&mut self, path: &mut String, found: &mut Vec<Number>) -> Result<()> {
        match self {
            Node::Number(of, x, which) => {
                finite(*x, path)?;
                *which = found.len();
                found.push(Number {
                    path: path.clone(),
                    of: of.clone(),
                    x: *x,
                });
            }
            Node::Fields(fields) => {
                for (name, node) in fields {
                    within(path, name, |path| node.number(path, found))?;
                }
            }
            Node::List(items) => {
                for (i, node) in items.iter_mut().enumerate() {
                    within(path, &format!("[{i}]"), |path| node.number(path, found))?;
                }
            }
            Node::Nothing | Node::Text(_) => {}
        }
        Ok(())
    }

    /// The texts that a row is known by.
    fn names(&self) -> Vec<&str> {
        match self {
            Node::Text(text) => vec![text],
            // One of several shapes, by its name.
            Node::Fields(fields) if fields.len() == 1 && matches!(fields[0].1, Node::Fields(_)) => {
                [&*fields[0].0].into_iter().chain(fields[0].1.names()).collect()
            }
            Node::Fields(fields) => fields
                .iter()
                .filter_map(|(_, node)| match node {
                    Node::Text(text) if is_name(text) => Some(text.as_str()),
                    _ => None,
                })
                .collect(),
            _ => vec![],
        }
    }
}

/// The same with something appended to the path, and taken off again.
fn within<T>(path: &mut String, step: &str, then: impl FnOnce(&mut String) -> T) -> T {
    let outer = path.len();
    if !path.is_empty() && !step.starts_with('[') {
        path.push('.');
    }
    path.push_str(step);
    let made = then(path);
    path.truncate(outer);
    made
}

fn finite(x: f64, path: &str) -> Result<()> {
    if x.is_finite() {
        return Ok(());
    }
    Err(Error::new(ErrorKind::NotFinite, joined(path, ""))
        .with_value(x)
        .with_way_out("a spread leads beyond what a number can hold: give a narrower one"))
}

/// Puts a run's numbers beside those of the middle.
fn beside(middle: Option<&Node>, run: &Node, path: &mut String, told: &mut Told) -> Result<()> {
    match run {
        Node::Number(of, x, _) => {
            finite(*x, path)?;
            match middle {
                Some(Node::Number(known, _, which)) if known.name() == of.name() => told.known[*which] = *x,
                _ => told.others.push(Number {
                    path: path.clone(),
                    of: of.clone(),
                    x: *x,
                }),
            }
        }
        Node::Fields(fields) => {
            let known: &[(Name, Node)] = match middle {
                Some(Node::Fields(known)) => known,
                _ => &[],
            };
            // The same fields in the same order, but for those left out.
            let mut next = 0;
            for (name, node) in fields {
                let at = (next..known.len()).chain(0..next).find(|i| known[*i].0 == *name);
                next = at.map_or(next, |i| i + 1);
                let same = at.map(|i| &known[i].1);
                within(path, name, |path| beside(same, node, path, told))?;
            }
        }
        Node::List(items) => {
            let known: &[Node] = match middle {
                Some(Node::List(known)) => known,
                _ => &[],
            };
            let rows = same_rows(known, items);
            let mut new: HashMap<String, usize> = HashMap::new();
            for (i, (node, row)) in items.iter().zip(rows).enumerate() {
                let step = match row {
                    Some(row) => format!("[{row}]"),
                    None => said(node, i, &mut new),
                };
                within(path, &step, |path| {
                    beside(row.map(|r| &known[r]), node, path, told)
                })?;
            }
        }
        Node::Nothing | Node::Text(_) => {}
    }
    Ok(())
}

/// What a row that the middle does not have goes by.
fn said(node: &Node, i: usize, new: &mut HashMap<String, usize>) -> String {
    let mut names = node.names();
    names.dedup();
    names.truncate(3);
    if names.is_empty() {
        return format!("[{i}]");
    }
    let name = names.join("; ");
    let again = new.entry(name.clone()).or_insert(0);
    *again += 1;
    match again {
        1 => format!("['{name}']"),
        n => format!("['{name}' {n}]"),
    }
}

/// Which of the known rows each is: by the same texts, the first of them the first; what is left by the same letters.
fn same_rows(known: &[Node], rows: &[Node]) -> Vec<Option<usize>> {
    let names = |nodes: &[Node]| nodes.iter().map(|n| n.names().join("\n")).collect::<Vec<_>>();
    let (known, rows) = (names(known), names(rows));
    let mut found: Vec<Option<usize>> = (0..rows.len())
        .map(|i| (known.get(i) == Some(&rows[i])).then_some(i))
        .collect();
    if found.iter().all(Option::is_some) {
        return found;
    }
    found.fill(None);
    let without = |names: &[String]| -> Vec<String> {
        let letter = |c: &char| c.is_alphabetic() || *c == '\n';
        names.iter().map(|n| n.chars().filter(letter).collect()).collect()
    };
    let mut taken = vec![false; known.len()];
    for (known, rows) in [(known.clone(), rows.clone()), (without(&known), without(&rows))] {
        let mut places: HashMap<&str, std::collections::VecDeque<usize>> = HashMap::new();
        for (i, name) in known.iter().enumerate().filter(|(i, _)| !taken[*i]) {
            places.entry(name).or_default().push_back(i);
        }
        for (row, name) in found.iter_mut().zip(&rows).filter(|(row, _)| row.is_none()) {
            if let Some(i) = places
                .get_mut(name.as_str())
                .and_then(std::collections::VecDeque::pop_front)
            {
                *row = Some(i);
                taken[i] = true;
            }
        }
    }
    found
}

/// An answer as a tree.
fn tree(answer: &dyn Written) -> Node {
    let mut made = Builder {
        frames: Vec::new(),
        flat: false,
        root: Node::Nothing,
    };
    answer.walk(&mut made);
    made.root
}

enum Frame {
    Fields(Vec<(Name, Node)>, Name),
    List(Vec<Node>),
}

struct Builder {
    frames: Vec<Frame>,
    /// The next struct's fields are another's.
    flat: bool,
    root: Node,
}

impl Builder {
    fn put(&mut self, node: Node) {
        match self.frames.last_mut() {
            None => self.root = node,
            Some(Frame::List(items)) => items.push(node),
            Some(Frame::Fields(fields, name)) => fields.push((std::mem::take(name), node)),
        }
    }
    fn open(&mut self) {
        self.frames.push(Frame::Fields(Vec::new(), Name::default()));
    }
    fn close(&mut self) {
        let made = match self.frames.pop() {
            Some(Frame::Fields(fields, _)) => Node::Fields(fields),
            Some(Frame::List(items)) => Node::List(items),
            None => return,
        };
        self.put(made);
    }
    fn next(&mut self, field: impl Into<Name>) {
        if let Some(Frame::Fields(_, name)) = self.frames.last_mut() {
            *name = field.into();
        }
    }
    fn flat(&mut self, node: &dyn Written) {
        self.flat = !node.is_none();
        if self.flat {
            node.walk(self);
        }
        self.flat = false;
    }
    fn all(&mut self, fields: &'static [Field], nodes: &[&dyn Written]) {
        for (field, node) in fields.iter().zip(nodes) {
            if field.flat {
                self.flat(*node);
            } else if !field.left_out(*node) {
                self.next(field.name);
                node.walk(self);
            }
        }
    }
}

impl Walk for Builder {
    fn null(&mut self) {
        self.put(Node::Nothing);
    }
    fn truth(&mut self, _: bool) {
        self.put(Node::Nothing);
    }
    fn whole(&mut self, _: i128) {
        self.put(Node::Nothing);
    }
    fn number(&mut self, x: f64) {
        self.put(Node::Number(Unit::Plain, x, 0));
    }
    fn text(&mut self, text: &str) {
        self.put(Node::Text(text.to_owned()));
    }
    fn measured(&mut self, text: &str) {
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        self.put(match (number.parse::<f64>(), unit) {
            (Ok(x), "") => Node::Number(Unit::Plain, x, 0),
            (Ok(x), unit) => Node::Number(Unit::Written(unit.to_owned()), x, 0),
            (Err(_), _) => Node::Nothing,
        });
    }
    fn quantity(&mut self, si: f64, of: &'static Measure) {
        self.put(Node::Number(Unit::Of(of), si, 0));
    }
    fn spread(&mut self, input: &Input) {
        self.quantity(input.value, input.of);
    }
    fn fields(&mut self, of: &'static Shape, nodes: &[&dyn Written]) {
        let fields = of.table().fields;
        if std::mem::take(&mut self.flat) {
            return self.all(fields, nodes);
        }
        self.open();
        self.all(fields, nodes);
        self.close();
    }
    fn variant(&mut self, of: &'static Shape, which: usize, nodes: &[&dyn Written]) {
        let of = of.variants();
        let variant = &of.variants[which];
        if let (None, Content::Unit) = (of.tag, variant.content) {
            return self.text(variant.name);
        }
        self.open();
        match (of.tag, variant.content, nodes) {
            (Some(tag), content, _) => {
                self.next(tag);
                self.text(variant.name);
                match (content, nodes) {
                    (Content::Fields(fields), _) => self.all(fields, nodes),
                    (Content::One(_), [node]) => self.flat(*node),
                    _ => {}
                }
            }
            (None, Content::Fields(fields), _) => {
                self.next(variant.name);
                self.open();
                self.all(fields, nodes);
                self.close();
            }
            (None, _, [node]) => {
                self.next(variant.name);
                node.walk(self);
            }
            _ => {}
        }
        self.close();
    }
    fn list(&mut self) {
        self.frames.push(Frame::List(Vec::new()));
    }
    fn map(&mut self) {
        self.open();
    }
    fn item(&mut self) {}
    fn key(&mut self, key: &str) {
        self.next(key.to_owned());
    }
    fn end(&mut self) {
        self.close();
    }
    fn any(&mut self, value: &Value) {
        match value {
            Value::Number(n) if n.is_f64() => self.number(n.as_f64().unwrap_or_default()),
            Value::String(text) => self.text(text),
            Value::Array(items) => {
                self.list();
                items.iter().for_each(|item| self.any(item));
                self.close();
            }
            Value::Object(fields) => {
                self.open();
                for (name, field) in fields {
                    self.next(name.clone());
                    self.any(field);
                }
                self.close();
            }
            _ => self.null(),
        }
    }
}
