//! A cup's temperature as a logger wrote it: what of its file tells itself, what has to be told, what is wrong with it.

use crate::constants::ZERO_CELSIUS;
use crate::error::{Error, ErrorKind, Result, cut};
use crate::noun::{Noun, questions};
use crate::stock::Date;

/// What stands between the columns of a log.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum LogSeparator {
    /// A comma.
    Comma,
    /// A semicolon.
    Semicolon,
    /// A tabulator.
    Tab,
    /// Blanks.
    Space,
}

impl LogSeparator {
    const ALL: [LogSeparator; 4] = [Self::Semicolon, Self::Tab, Self::Comma, Self::Space];

    fn called(self) -> &'static str {
        match self {
            Self::Comma => "comma",
            Self::Semicolon => "semicolon",
            Self::Tab => "tab",
            Self::Space => "space",
        }
    }

    fn split(self, line: &str) -> Vec<String> {
        let clean = |f: &str| f.trim().trim_matches('"').trim().to_owned();
        match self {
            Self::Comma => line.split(',').map(clean).collect(),
            Self::Semicolon => line.split(';').map(clean).collect(),
            Self::Tab => line.split('\t').map(clean).collect(),
            Self::Space => line.split_whitespace().map(clean).collect(),
        }
    }
}

/// What stands before the decimals of a log.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum DecimalMark {
    /// A point.
    Point,
    /// A comma.
    Comma,
}

/// Unit of the times of a log.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum LogTimeUnit {
    /// Seconds.
    Second,
    /// Minutes.
    Minute,
    /// Hours.
    Hour,
    /// Hours and minutes, `13:05`.
    HourMinute,
    /// Minutes and seconds, `13:05`.
    MinuteSecond,
}

impl LogTimeUnit {
    fn called(self) -> &'static str {
        match self {
            Self::Second => "s",
            Self::Minute => "min",
            Self::Hour => "h",
            Self::HourMinute => "h:min",
            Self::MinuteSecond => "min:s",
        }
    }
}

/// Unit of the temperatures of a log.
#[derive(Clone, Copy, PartialEq, Eq, Noun)]
pub enum LogTemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
    /// Kelvin.
    Kelvin,
}

impl LogTemperatureUnit {
    fn called(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::Kelvin => "K",
        }
    }

    fn kelvin(self, x: f64) -> f64 {
        match self {
            Self::Celsius => x + ZERO_CELSIUS,
            Self::Fahrenheit => (x - 32.0) / 1.8 + ZERO_CELSIUS,
            Self::Kelvin => x,
        }
    }
}

/// What is told of a log's file. What is left out is recognised from the file, or asked for.
#[derive(Clone, PartialEq, Default, Noun)]
pub struct LogFormat {
    /// What stands between the columns.
    pub separator: Option<LogSeparator>,
    /// What stands before the decimals.
    pub decimal_mark: Option<DecimalMark>,
    /// Unit of the times.
    pub time_unit: Option<LogTimeUnit>,
    /// Unit of the temperatures.
    pub temperature_unit: Option<LogTemperatureUnit>,
    /// Which column holds the time: its name in the header, or its place from 1.
    pub time_column: Option<String>,
    /// Which column holds the temperature of the mix: its name in the header, or its place from 1.
    pub temperature_column: Option<String>,
    /// When catalyst and resin were mixed, written as the file writes its times. Left out: time 0 of an elapsed time, the first
    /// row of a clock's.
    pub mixed_at: Option<String>,
}

/// A cup's temperature as a logger wrote it: the text of its file, columns of time and temperature.
#[derive(Clone, PartialEq, Noun)]
pub struct CupLog {
    /// The text of the file (comma-separated values and the like; RFC 4180 names the form).
    pub text: String,
    /// What the file does not tell of itself.
    #[noun(default)]
    pub told: LogFormat,
}

/// A cup's temperature over the time since mixing.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct TemperatureLog {
    /// Times since mixing, s, rising.
    pub time_s: Vec<f64>,
    /// Temperature, K.
    pub temperature_k: Vec<f64>,
    /// What was recognised or told of the file, in words.
    pub recognised: Vec<String>,
    /// What is wrong or odd with it, in words: a gap, rows before mixing, values that look like another unit.
    pub findings: Vec<String>,
}

/// Longest text that is read, bytes.
const LONGEST: usize = 8 << 20;
/// Fewest rows that are a curve.
const FEWEST: usize = 8;
/// s.
const A_DAY: f64 = 86_400.0;
/// Part of the lines that have to be rows.
const MOSTLY: f64 = 0.8;
/// Temperatures that a mix in a shop begins at, °C: what lies here can be no other unit's, what lies beyond may. Common
/// practice, no source.
const SHOP: (f64, f64) = (5.0, 40.0);
/// Above it a resin chars, °C.
const CHARS: f64 = 300.0;
/// A reading so far off its neighbours is none, K. Common practice, no source.
const SPIKE: f64 = 15.0;

/// A field that is a number, in one of two decimal marks.
fn number(field: &str, mark: DecimalMark) -> Option<f64> {
    let bare = field
        .trim_end_matches(|c: char| c.is_alphabetic() || c == '°' || c == 'º')
        .trim_end();
    let has_exponent = bare.len() < field.len() && bare.ends_with(['e', 'E']);
    let text = if has_exponent { field } else { bare };
    let plain = match mark {
        DecimalMark::Point if text.contains(',') => return None,
        DecimalMark::Point => text.to_owned(),
        DecimalMark::Comma if text.contains('.') => return None,
        DecimalMark::Comma => text.replace(',', "."),
    };
    plain.parse().ok().filter(|x: &f64| x.is_finite())
}

/// A reading that a logger wrote for none.
fn is_missing(field: &str) -> bool {
    matches!(
        field.to_lowercase().as_str(),
        "" | "nan" | "na" | "n/a" | "-" | "--" | "---" | "null" | "none" | "err" | "error" | "open" | "ol"
    )
}

/// Whether a text has the form of a date, `2026-11-29` (ISO 8601), be it of the calendar or not.
fn is_date(text: &str) -> bool {
    let digits = |part: &str, n: usize| part.len() == n && part.bytes().all(|b| b.is_ascii_digit());
    let mut parts = text.split('-');
    let all = [4, 2, 2]
        .into_iter()
        .all(|n| parts.next().is_some_and(|p| digits(p, n)));
    all && parts.next().is_none()
}

/// Seconds from a far day to the beginning of a date, where the calendar has it.
fn day(text: &str) -> Option<f64> {
    let [day, far] = [text, "1970-01-01"].map(|text| Date::parse("text", text).ok());
    Some(A_DAY * f64::from(day?.days_since(far?)))
}

/// A time of the clock by its form, as its parts, with the date before it.
fn clock(field: &str, mark: DecimalMark) -> Option<(Option<&str>, Vec<f64>)> {
    let (on, rest) = match field.split_once(['T', ' ']) {
        Some((d, rest)) if is_date(d) => (Some(d), rest.trim_end_matches('Z')),
        Some(_) => return None,
        None => (None, field),
    };
    if !rest.contains(':') {
        return None;
    }
    let parts: Option<Vec<f64>> = rest.split(':').map(|p| number(p, mark)).collect();
    parts.filter(|p| (2..=3).contains(&p.len())).map(|p| (on, p))
}

/// Whether the parts are those of a time: only the first is not bounded, since it may have elapsed, only the last need not be
/// whole.
fn is_time_of_clock(parts: &[f64]) -> bool {
    let whole = parts.iter().rev().skip(1).all(|p| p.fract() == 0.0);
    whole && parts.iter().all(|p| *p >= 0.0) && parts.iter().skip(1).all(|p| *p < 60.0)
}

/// How a column writes its times.
#[derive(Clone, Copy, PartialEq)]
enum Written {
    Number(LogTimeUnit),
    Clock { unit: LogTimeUnit, dated: bool },
}

impl Written {
    fn seconds(self, field: &str, mark: DecimalMark) -> Option<f64> {
        match self {
            Written::Number(unit) => {
                let by = match unit {
                    LogTimeUnit::Second => 1.0,
                    LogTimeUnit::Minute => 60.0,
                    _ => 3600.0,
                };
                number(field, mark).map(|x| x * by)
            }
            Written::Clock { unit, .. } => {
                let (on, parts) = clock(field, mark).filter(|(_, p)| is_time_of_clock(p))?;
                let of_day = match (&parts[..], unit) {
                    ([h, m, s], _) => 3600.0 * h + 60.0 * m + s,
                    ([m, s], LogTimeUnit::MinuteSecond) => 60.0 * m + s,
                    ([h, m], _) => 3600.0 * h + 60.0 * m,
                    _ => return None,
                };
                Some(on.map_or(Some(0.0), day)? + of_day)
            }
        }
    }
}

fn bad(field: &str, value: impl std::fmt::Display, allowed: &str, way_out: impl Into<String>) -> Error {
    Error::inconsistent(field, value, allowed.to_owned(), way_out)
}

/// The lines of a file as fields.
struct Table<'a> {
    separator: LogSeparator,
    mark: DecimalMark,
    header: Option<Vec<String>>,
    /// With their numbers in the file, from 1.
    rows: Vec<(usize, Vec<String>)>,
    told: &'a LogFormat,
    recognised: Vec<String>,
    findings: Vec<String>,
}

fn joined_date(line: &str) -> String {
    // '2026-11-29 13:25:00' is one field, whatever separates the others.
    let bytes = line.as_bytes();
    let mut out = line.to_owned();
    for i in 10..bytes.len() {
        if bytes[i] == b' ' && line.is_char_boundary(i - 10) && is_date(&line[i - 10..i]) {
            out.replace_range(i..=i, "T");
        }
    }
    out
}

impl CupLog {
    /// A log of which nothing is told.
    pub fn of(text: impl Into<String>) -> Self {
        CupLog {
            text: text.into(),
            told: LogFormat::default(),
        }
    }

    fn table(&self) -> Result<Table<'_>> {
        if self.text.len() > LONGEST {
            return Err(Error::out_of_range(
                "text",
                format_args!("{} bytes", self.text.len()),
                format!("{LONGEST} bytes at most"),
                "log every few seconds, not every few milliseconds",
            ));
        }
        let text = self.text.trim_start_matches('\u{feff}');
        let lines: Vec<(usize, String)> = text
            .lines()
            .enumerate()
            .map(|(i, l)| (i + 1, joined_date(l.trim())))
            .filter(|(_, l)| !l.is_empty() && !l.starts_with('#'))
            .collect();
        if lines.is_empty() {
            return Err(Error::new(ErrorKind::Unreadable, "text")
                .with_value("an empty log")
                .with_way_out(
                    "give the text of the logger's file: a column of times and one of temperatures",
                ));
        }
        let mut read: Vec<Table<'_>> = Vec::new();
        let told = self.told.separator;
        for separator in LogSeparator::ALL
            .into_iter()
            .filter(|s| told.is_none_or(|t| t == *s))
        {
            for mark in [DecimalMark::Point, DecimalMark::Comma] {
                if self.told.decimal_mark.is_some_and(|m| m != mark)
                    || (separator, mark) == (LogSeparator::Comma, DecimalMark::Comma)
                {
                    continue;
                }
                read.extend(Table::read(&lines, separator, mark, &self.told));
            }
        }
        // Whole numbers read the same in both marks: that is no question.
        read.dedup_by(|b, a| {
            a.separator == b.separator
                && !b
                    .rows
                    .iter()
                    .any(|(_, f)| f.iter().any(|x| x.contains(',') || x.contains('.')))
        });
        // Blanks separate what nothing else does.
        if read.iter().any(|t| t.separator != LogSeparator::Space) {
            read.retain(|t| t.separator != LogSeparator::Space);
        }
        let most = read.iter().map(Table::numbers).max().unwrap_or(0);
        read.retain(|t| t.numbers() == most);
        if read.len() > 1 {
            let ways: Vec<String> = read.iter().map(Table::shown).collect();
            return Err(bad(
                "told.separator",
                format_args!("a file that reads in {} ways: {}", read.len(), ways.join("; or ")),
                "one way to read it",
                format!(
                    "write for example told.separator = \"{}\"",
                    read[0].separator.called()
                ),
            ));
        }
        let table = read.pop().ok_or_else(|| {
            Error::new(ErrorKind::Unreadable, "text")
                .with_value(cut(lines.get(1).map_or("", |l| &l.1)))
                .with_allowed("lines of two or more numbers between the same separator")
                .with_way_out(
                    "export columns of time and temperature with ';' between them, or write told.separator and told.decimal_mark",
                )
        })?;
        table.unambiguous()
    }
}

#[questions(log)]
impl CupLog {
    /// The temperatures of a log by the time since mixing: separator, decimal mark, header, columns and units recognised from
    /// the file or as told.
    ///
    /// A unit is read from the header or from what stands behind a number; hours, minutes and seconds from colons. Without any a
    /// first temperature of 5 to 40 can only be °C and one above 250 only K in a shop (common practice, no source); what else is
    /// open is asked for. Rows before mixing are left out, missing and lone wild readings too, and said.
    ///
    /// # Errors
    /// `Unreadable` for what is no table; `Inconsistent` where the file leaves something open, saying what to write, and where
    /// times go back; `NoSolution` where fewer than eight rows are left.
    #[question("calibrate.read_log")]
    pub fn read_log(&self) -> Result<TemperatureLog> {
        let mut table = self.table()?;
        let (time, temperature) = table.columns()?;
        let written = table.times_written(time)?;
        let unit = table.temperature_unit(temperature)?;
        let rows = table.readings(time, temperature, written, unit)?;
        let rows = table.since_mixing(rows, written)?;
        let (time_s, temperature_k) = table.cleaned(rows)?.into_iter().unzip();
        let log = TemperatureLog {
            time_s,
            temperature_k,
            recognised: table.recognised,
            findings: table.findings,
        };
        Ok(log)
    }
}

impl<'a> Table<'a> {
    fn read(
        lines: &[(usize, String)],
        separator: LogSeparator,
        mark: DecimalMark,
        told: &'a LogFormat,
    ) -> Option<Self> {
        let is_number = |f: &String| number(f, mark).is_some() || clock(f, mark).is_some();
        let split: Vec<(usize, Vec<String>)> = lines.iter().map(|(n, l)| (*n, separator.split(l))).collect();
        let is_row = |f: &Vec<String>| {
            f.len() >= 2 && f.iter().filter(|x| is_number(x)).count() >= 2
                || f.len() == 2 && is_number(&f[0]) && is_missing(&f[1])
        };
        // A field never holds what separates fields elsewhere.
        let cut = |f: &String| separator == LogSeparator::Comma && f.contains([';', '\t']);
        if split.iter().any(|(_, f)| is_row(f) && f.iter().any(cut)) {
            return None;
        }
        let first = split.iter().position(|(_, f)| is_row(f))?;
        let wide = split[first].1.len();
        let header = (first > 0)
            .then(|| split[first - 1].1.clone())
            .filter(|h| h.iter().any(|f| f.chars().any(char::is_alphabetic)));
        let rows: Vec<(usize, Vec<String>)> = split[first..].to_vec();
        #[allow(clippy::cast_precision_loss)]
        let share = rows.iter().filter(|(_, f)| is_row(f)).count() as f64 / rows.len() as f64;
        (share >= MOSTLY && wide >= 2).then(|| Table {
            separator,
            mark,
            header,
            rows,
            told,
            recognised: vec![],
            findings: vec![],
        })
    }

    /// How many of its fields are numbers or times.
    fn numbers(&self) -> usize {
        let is_number = |f: &&String| number(f, self.mark).is_some() || clock(f, self.mark).is_some();
        self.rows
            .iter()
            .map(|(_, f)| f.iter().filter(is_number).count())
            .sum()
    }

    fn shown(&self) -> String {
        let mark = match self.mark {
            DecimalMark::Point => "point",
            DecimalMark::Comma => "comma",
        };
        format!(
            "{} between {} columns, decimal {mark}",
            self.separator.called(),
            self.rows[0].1.len()
        )
    }

    /// A comma that may be both separator and decimal mark is refused.
    fn unambiguous(mut self) -> Result<Self> {
        let wide = self.rows[0].1.len();
        let whole =
            |f: &String| !f.is_empty() && f.trim_start_matches('-').chars().all(|c| c.is_ascii_digit());
        let names = self.header.as_ref().map_or(0, Vec::len);
        let halves = self.rows.iter().all(|(_, f)| f.iter().all(whole));
        let too_wide = names > 0 && wide == 2 * names;
        if self.separator == LogSeparator::Comma
            && wide.is_multiple_of(2)
            && halves
            && wide >= 4
            && (names == 0 || too_wide)
        {
            return Err(bad(
                "text",
                cut(&self.rows[0].1.join(",")),
                "one meaning of the comma: here it may separate columns, decimals, or both",
                "export with ';' between the columns, or with decimal points",
            ));
        }
        let shown = self.shown();
        self.recognised.push(shown);
        self.recognised.push(match &self.header {
            Some(h) => format!("header: {}", cut(&h.join(", "))),
            None => "no header".to_owned(),
        });
        Ok(self)
    }

    fn name(&self, column: usize) -> String {
        self.header
            .as_ref()
            .and_then(|h| h.get(column))
            .map_or_else(|| format!("column {}", column + 1), |n| format!("'{n}'"))
    }

    /// The column that is told by its name or place.
    fn told_column(&self, field: &str, told: &str) -> Result<usize> {
        let by_name = |h: &Vec<String>| h.iter().position(|n| n.eq_ignore_ascii_case(told));
        let wide = self.rows[0].1.len();
        let by_place = || {
            told.parse::<usize>()
                .ok()
                .filter(|n| (1..=wide).contains(n))
                .map(|n| n - 1)
        };
        self.header
            .as_ref()
            .and_then(by_name)
            .or_else(by_place)
            .ok_or_else(|| {
                let known = self.header.clone().unwrap_or_default().join(", ");
                Error::inconsistent(
                    field,
                    told,
                    format!("a name of the header ({known}) or a place from 1 to {wide}"),
                    "copy the column's name from the file",
                )
            })
    }

    /// Time and temperature.
    fn columns(&mut self) -> Result<(usize, usize)> {
        let told_time = self.told.time_column.as_ref();
        let told_temperature = self.told.temperature_column.as_ref();
        let time = told_time
            .map(|t| self.told_column("told.time_column", t))
            .transpose()?;
        let temperature = told_temperature
            .map(|t| self.told_column("told.temperature_column", t))
            .transpose()?;
        let wide = self.rows[0].1.len();
        let named = |is: fn(&str) -> bool| -> Vec<usize> {
            let header = self.header.as_deref().unwrap_or_default();
            (0..header.len().min(wide)).filter(|&i| is(&header[i])).collect()
        };
        let one = |field: &str, what: &str, told: Option<usize>, found: Vec<usize>, other: Option<usize>| {
            let found: Vec<usize> = found.into_iter().filter(|i| Some(*i) != other).collect();
            match (told, found.as_slice()) {
                (Some(i), _) => Ok(Some(i)),
                (None, [i]) => Ok(Some(*i)),
                (None, []) => Ok(None),
                (None, several) => Err(bad(
                    field,
                    several
                        .iter()
                        .map(|&i| self.name(i))
                        .collect::<Vec<_>>()
                        .join(", "),
                    "one column",
                    format!("write {field} = \"...\" with the name of the column that holds the {what}"),
                )),
            }
        };
        let temperature = one(
            "told.temperature_column",
            "temperature of the mix",
            temperature,
            named(is_temperature),
            time,
        )?;
        let time = one("told.time_column", "time", time, named(is_time), temperature)?;
        let (time, temperature) = match (time, temperature) {
            (Some(a), Some(b)) if a != b => (a, b),
            (Some(a), None) if wide == 2 => (a, 1 - a),
            (None, Some(b)) if wide == 2 => (1 - b, b),
            (None, None) if wide == 2 => (0, 1),
            (Some(_), Some(_)) => {
                return Err(bad(
                    "told.temperature_column",
                    "the column of the time",
                    "two columns",
                    "name the column of the temperature",
                ));
            }
            (t, _) => {
                let field = if t.is_none() {
                    "told.time_column"
                } else {
                    "told.temperature_column"
                };
                return Err(bad(
                    field,
                    format_args!("{wide} columns"),
                    "a header that names time and temperature, or two columns",
                    format!("write {field} = \"1\" with the place of that column, from 1"),
                ));
            }
        };
        self.recognised.push(format!(
            "time in {}, temperature in {}",
            self.name(time),
            self.name(temperature)
        ));
        Ok((time, temperature))
    }

    fn header_of(&self, column: usize) -> &str {
        self.header
            .as_ref()
            .and_then(|h| h.get(column))
            .map_or("", String::as_str)
    }

    fn times_written(&mut self, column: usize) -> Result<Written> {
        let first = self
            .rows
            .iter()
            .map(|(_, f)| f.get(column).map_or("", String::as_str));
        let sample = first.clone().find(|f| !is_missing(f)).unwrap_or("").to_owned();
        let header = self.header_of(column).to_owned();
        let told = self.told.time_unit;
        if let Some((on, parts)) = clock(&sample, self.mark) {
            let certain = parts.len() == 3 || on.is_some();
            let of_header = header.to_lowercase();
            let unit = match told {
                Some(u @ (LogTimeUnit::HourMinute | LogTimeUnit::MinuteSecond)) => u,
                _ if certain => LogTimeUnit::HourMinute,
                _ if of_header.contains("mm:ss") || of_header.contains("min:s") => LogTimeUnit::MinuteSecond,
                _ if of_header.contains("hh:mm") || of_header.contains("h:min") => LogTimeUnit::HourMinute,
                _ => {
                    return Err(bad(
                        "told.time_unit",
                        sample,
                        "hours and minutes, or minutes and seconds",
                        "write told.time_unit = \"hour_minute\" or \"minute_second\"",
                    ));
                }
            };
            self.recognised.push(if certain {
                "times of the clock".to_owned()
            } else {
                format!("time in {}", unit.called())
            });
            return Ok(Written::Clock {
                unit,
                dated: on.is_some(),
            });
        }
        let behind = trailing(&sample);
        let unit = told
            .or_else(|| time_unit_of(&behind))
            .or_else(|| unit_words(&header).iter().find_map(|w| time_unit_of(w)))
            .ok_or_else(|| {
                bad(
                    "told.time_unit",
                    format_args!("{} {sample}", self.name(column)),
                    "a unit in the header, behind the numbers, or told",
                    "write told.time_unit = \"second\", \"minute\" or \"hour\"",
                )
            })?;
        if matches!(unit, LogTimeUnit::HourMinute | LogTimeUnit::MinuteSecond) {
            return Err(bad(
                "told.time_unit",
                format_args!("{sample} as {}", unit.called()),
                "times with a colon",
                "write told.time_unit = \"second\", \"minute\" or \"hour\"",
            ));
        }
        self.recognised.push(format!("time in {}", unit.called()));
        Ok(Written::Number(unit))
    }

    fn temperature_unit(&mut self, column: usize) -> Result<LogTemperatureUnit> {
        let value = |f: &Vec<String>| f.get(column).and_then(|x| number(x, self.mark));
        let values: Vec<f64> = self.rows.iter().filter_map(|(_, f)| value(f)).collect();
        let mut begin = values[..values.len().min(5)].to_vec();
        begin.sort_by(f64::total_cmp);
        let first = begin.get(begin.len() / 2).copied().unwrap_or(f64::NAN);
        let sample = self
            .rows
            .iter()
            .filter_map(|(_, f)| f.get(column))
            .find(|f| number(f, self.mark).is_some());
        let behind = sample.map(|f| trailing(f)).unwrap_or_default();
        let header = unit_words(self.header_of(column));
        let said =
            temperature_unit_of(&behind).or_else(|| header.iter().find_map(|w| temperature_unit_of(w)));
        let in_shop = |x: f64| (SHOP.0..=SHOP.1).contains(&x);
        let (unit, how) = match (self.told.temperature_unit, said) {
            (Some(t), _) => (t, "as told"),
            (None, Some(u)) => (u, "by the file"),
            (None, None) if in_shop(first) => (
                LogTemperatureUnit::Celsius,
                "by its first values, which no shop has in °F or K",
            ),
            (None, None) if first > 250.0 && first < 330.0 => {
                (LogTemperatureUnit::Kelvin, "by its first values")
            }
            (None, None) => {
                return Err(bad(
                    "told.temperature_unit",
                    format_args!("{} from {first}", self.name(column)),
                    "a unit in the header, behind the numbers, or told",
                    "write told.temperature_unit = \"celsius\", \"fahrenheit\" or \"kelvin\"",
                ));
            }
        };
        self.recognised
            .push(format!("temperature in {}, {how}", unit.called()));
        let hottest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let as_fahrenheit = LogTemperatureUnit::Fahrenheit.kelvin(first) - ZERO_CELSIUS;
        match unit {
            LogTemperatureUnit::Celsius if !in_shop(first) && in_shop(as_fahrenheit) => self.findings.push(format!(
                "begins at {first:.0} in a column of °C: a mix of {as_fahrenheit:.0} °C reads that in °F; write \
                 told.temperature_unit = \"fahrenheit\" if it is"
            )),
            LogTemperatureUnit::Celsius if hottest > CHARS => self.findings.push(format!(
                "reaches {hottest:.0} °C, where resin chars: check the unit and the thermocouple"
            )),
            LogTemperatureUnit::Fahrenheit if in_shop(first) && !in_shop(as_fahrenheit) => self.findings.push(format!(
                "begins at {first:.0} in a column of °F, {as_fahrenheit:.0} °C: write told.temperature_unit = \"celsius\" if it is"
            )),
            LogTemperatureUnit::Kelvin if first < 200.0 => {
                return Err(bad(
                    "told.temperature_unit",
                    format_args!("{first} K"),
                    "above 200 K",
                    "write told.temperature_unit = \"celsius\" or \"fahrenheit\"",
                ));
            }
            _ => {}
        }
        Ok(unit)
    }

    /// Times as written, in s, and temperatures in K.
    fn readings(
        &mut self,
        time: usize,
        temperature: usize,
        written: Written,
        unit: LogTemperatureUnit,
    ) -> Result<Vec<(usize, f64, f64)>> {
        let mut out: Vec<(usize, f64, f64)> = Vec::with_capacity(self.rows.len());
        let (mut missing, mut midnight, mut twice) = (0usize, 0.0, 0usize);
        for (line, fields) in &self.rows {
            let at = |c: usize| fields.get(c).map_or("", String::as_str);
            if is_missing(at(temperature)) || is_missing(at(time)) {
                missing += 1;
                continue;
            }
            let (Some(mut t), Some(x)) = (
                written.seconds(at(time), self.mark),
                number(at(temperature), self.mark),
            ) else {
                let no_day =
                    clock(at(time), self.mark).is_some_and(|(on, _)| on.is_some_and(|d| day(d).is_none()));
                return Err(Error::new(ErrorKind::Unreadable, "text")
                    .with_value(format_args!("line {line}: {}", cut(&fields.join(" | "))))
                    .with_allowed(if no_day {
                        "a day that the calendar has"
                    } else {
                        "a time and a temperature"
                    })
                    .with_way_out("take the line out, or leave the field empty where nothing was read"));
            };
            let kelvin = unit.kelvin(x);
            if !(0.0..2000.0).contains(&kelvin) {
                missing += 1;
                continue;
            }
            t += midnight;
            if let Some(&mut (_, before, ref mut kept)) = out.last_mut() {
                // A clock alone begins anew at midnight; a date does not go back.
                if matches!(written, Written::Clock { dated: false, .. }) && before - t > 0.5 * A_DAY {
                    midnight += A_DAY;
                    t += A_DAY;
                }
                if t < before {
                    return Err(bad(
                        "text",
                        format_args!("line {line}: {} after a later time", at(time)),
                        "times that rise",
                        "sort the rows by time, or give each run its own log",
                    ));
                }
                if t == before {
                    twice += 1;
                    *kept = kelvin;
                    continue;
                }
            }
            out.push((*line, t, kelvin));
        }
        if midnight > 0.0 {
            self.recognised.push("the log passes midnight".to_owned());
        }
        if missing > 0 {
            self.findings
                .push(format!("{missing} rows without a reading were left out"));
        }
        if twice > 0 {
            self.findings
                .push(format!("{twice} times stand twice: the later reading was taken"));
        }
        Ok(out)
    }

    fn since_mixing(&mut self, rows: Vec<(usize, f64, f64)>, written: Written) -> Result<Vec<(f64, f64)>> {
        let Some(&(_, first, _)) = rows.first() else {
            return Err(too_few(0));
        };
        let last = rows.last().map_or(first, |r| r.1);
        let mixed = match &self.told.mixed_at {
            Some(told) => {
                let mut t = written
                    .seconds(&joined_date(told.trim()), self.mark)
                    .ok_or_else(|| {
                        bad(
                            "told.mixed_at",
                            told,
                            "a time as the file writes it",
                            "copy the form of the file's own times",
                        )
                    })?;
                if let Written::Clock { dated, .. } = written {
                    let of_told =
                        clock(&joined_date(told.trim()), self.mark).is_some_and(|(on, _)| on.is_some());
                    if of_told != dated {
                        return Err(bad(
                            "told.mixed_at",
                            told,
                            "a date beside the time where the file has one, and none where it has none",
                            "copy the form of the file's own times",
                        ));
                    }
                    if !dated && first - t > 0.5 * A_DAY {
                        t += A_DAY;
                    }
                }
                t
            }
            None => match written {
                Written::Number(_) => {
                    self.recognised.push("mixed at time 0 of the log".to_owned());
                    0.0
                }
                Written::Clock { .. } => {
                    self.recognised
                        .push("mixed at the first row of the log".to_owned());
                    first
                }
            },
        };
        let all = rows.len();
        let after: Vec<(f64, f64)> = rows
            .into_iter()
            .map(|(_, t, x)| (t - mixed, x))
            .filter(|(t, _)| *t >= 0.0)
            .collect();
        if after.is_empty() {
            return Err(bad(
                "told.mixed_at",
                format_args!("{:.0} s after the last row", mixed - last),
                "times after mixing",
                "all rows lie before mixing: check when it was mixed, or told.mixed_at",
            ));
        }
        if after.len() < all {
            self.findings
                .push(format!("{} rows before mixing were left out", all - after.len()));
        }
        let (begins, ends) = (after[0].0, after[after.len() - 1].0);
        if begins > 0.1 * ends {
            self.findings.push(format!(
                "the log begins {:.1} min after mixing: what came before is not known",
                begins / 60.0
            ));
        }
        Ok(after)
    }

    /// Without lone wild readings; gaps named.
    fn cleaned(&mut self, rows: Vec<(f64, f64)>) -> Result<Vec<(f64, f64)>> {
        let median = |i: usize| -> f64 {
            let (a, b) = (i.saturating_sub(2), (i + 3).min(rows.len()));
            let mut near: Vec<f64> = rows[a..b].iter().map(|r| r.1).collect();
            near.sort_by(f64::total_cmp);
            near[near.len() / 2]
        };
        let kept: Vec<(f64, f64)> = (0..rows.len())
            .filter(|&i| (rows[i].1 - median(i)).abs() <= SPIKE)
            .map(|i| rows[i])
            .collect();
        let wild = rows.len() - kept.len();
        if wild > 0 {
            self.findings.push(format!(
                "{wild} lone readings {SPIKE:.0} K and more off their neighbours were left out"
            ));
        }
        if kept.len() < FEWEST {
            return Err(too_few(kept.len()));
        }
        let mut steps: Vec<f64> = kept.windows(2).map(|w| w[1].0 - w[0].0).collect();
        steps.sort_by(f64::total_cmp);
        let usual = steps[steps.len() / 2];
        let span = kept[kept.len() - 1].0 - kept[0].0;
        for w in kept.windows(2) {
            let gap = w[1].0 - w[0].0;
            if gap > 5.0 * usual && gap > 0.02 * span {
                self.findings.push(format!(
                    "a gap of {:.1} min after {:.1} min, across which it went from {:.1} to {:.1} °C",
                    gap / 60.0,
                    w[0].0 / 60.0,
                    w[0].1 - ZERO_CELSIUS,
                    w[1].1 - ZERO_CELSIUS
                ));
            }
        }
        Ok(kept)
    }
}

fn too_few(rows: usize) -> Error {
    Error::new(ErrorKind::NoSolution, "text")
        .with_value(format_args!("{rows} rows with time and temperature"))
        .with_allowed(format!("{FEWEST} rows or more"))
        .with_way_out("log every half minute from mixing until the cup cools")
}

/// What stands behind a number.
fn trailing(field: &str) -> String {
    let bare = field.trim_end_matches(|c: char| c.is_alphabetic() || c == '°' || c == 'º' || c == ' ');
    field[bare.len()..].trim().to_lowercase()
}

/// The words of a column's name that may be units, the last first: a unit stands at the end.
fn unit_words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = name
        .to_lowercase()
        .split(|c: char| !(c.is_alphanumeric() || c == '°' || c == 'º'))
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect();
    words.reverse();
    words
}

fn time_unit_of(word: &str) -> Option<LogTimeUnit> {
    Some(match word {
        "s" | "sec" | "secs" | "second" | "seconds" | "sekunden" => LogTimeUnit::Second,
        "min" | "mins" | "minute" | "minutes" | "minuten" => LogTimeUnit::Minute,
        "h" | "hr" | "hrs" | "hour" | "hours" | "stunden" | "std" => LogTimeUnit::Hour,
        _ => return None,
    })
}

fn temperature_unit_of(word: &str) -> Option<LogTemperatureUnit> {
    Some(match word {
        "c" | "°c" | "ºc" | "degc" | "celsius" => LogTemperatureUnit::Celsius,
        "f" | "°f" | "ºf" | "degf" | "fahrenheit" => LogTemperatureUnit::Fahrenheit,
        "k" | "kelvin" => LogTemperatureUnit::Kelvin,
        _ => return None,
    })
}

fn is_time(name: &str) -> bool {
    let lower = name.to_lowercase();
    name == "t"
        || unit_words(name).iter().any(|w| time_unit_of(w).is_some())
        || ["time", "zeit", "elapsed", "date", "datum"]
            .iter()
            .any(|w| lower.contains(w))
}

fn is_temperature(name: &str) -> bool {
    let lower = name.to_lowercase();
    name == "T"
        || unit_words(name).iter().any(|w| temperature_unit_of(w).is_some())
        || ["temp", "probe"].iter().any(|w| lower.contains(w))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A made-up cup: rows of `minute`, temperature.
    fn rows(line: impl Fn(u32, f64) -> String) -> String {
        (0..40)
            .map(|i| {
                let x = f64::from(i);
                line(i, 20.0 + 80.0 * (-((x - 25.0) / 6.0).powi(2)).exp())
            })
            .collect::<Vec<_>>()
            .join("\n")
    }

    fn check(text: String) -> TemperatureLog {
        let log = CupLog::of(text).read_log().unwrap();
        assert_eq!(log.time_s.len(), 40, "{:?}", log.findings);
        assert!(
            (log.time_s[39] - 39.0 * 60.0).abs() < 1e-6,
            "{:?}",
            log.recognised
        );
        let top = log.temperature_k.iter().copied().fold(0.0, f64::max);
        assert!((top - 373.15).abs() < 0.06, "{top} {:?}", log.recognised);
        log
    }

    /// One cup, as loggers of several countries write it.
    #[test]
    fn one_cup_in_many_hands() {
        check(format!(
            "Time (min),Temp (°C)\n{}",
            rows(|i, t| format!("{i},{t:.2}"))
        ));
        let fine = rows(|i, t| format!("{i}.000;{t:.2}").replace('.', ","));
        check(format!("Zeit [min];Temperatur [°C]\n{fine}"));
        let german = rows(|i, t| format!("{i};{t:.2}").replace('.', ","));
        check(format!("# made up\nZeit [min];Temperatur [°C]\n{german}"));
        check(format!(
            "time_s\ttemp_c\n{}",
            rows(|i, t| format!("{}\t{t:.2}", 60 * i))
        ));
        check(rows(|i, t| format!("00:{i:02}:00 {t:.2}")));
        let dated = rows(|i, t| format!("2026-02-28 23:{:02}:00,{t:.2}", 20 + i));
        check(format!("date,probe\n{dated}"));
        let fahrenheit = rows(|i, t| format!("{i}.0 min, {:.2} F", 32.0 + 1.8 * t));
        let log = check(fahrenheit);
        assert!(
            log.recognised.iter().any(|r| r.contains("°F")),
            "{:?}",
            log.recognised
        );
        let kelvin = check(format!(
            "t/h;T\n{}",
            rows(|i, t| format!("{:.6};{:.2}", f64::from(i) / 60.0, t + 273.15))
        ));
        assert!(
            kelvin.recognised.iter().any(|r| r.contains("in K")),
            "{:?}",
            kelvin.recognised
        );
        // Past midnight by the clock alone, and the mixing told.
        let mut late = CupLog::of(rows(|i, t| {
            let minute = 23 * 60 + 40 + i;
            format!("{:02}:{:02}:00;{t:.2}", minute / 60 % 24, minute % 60)
        }));
        assert_eq!(late.read_log().unwrap().time_s.len(), 40);
        late.told.mixed_at = Some("23:50:00".into());
        let log = late.read_log().unwrap();
        assert!(log.time_s[0] == 0.0 && log.time_s.len() == 30);
        assert!(
            log.findings[0].contains("10 rows before mixing"),
            "{:?}",
            log.findings
        );
    }

    fn refused(text: String, field: &str, says: &str) {
        let e = CupLog::of(text).read_log().unwrap_err();
        assert!(e.field() == field && e.to_string().contains(says), "{e}");
    }

    #[test]
    fn what_a_file_leaves_open_is_asked_for() {
        refused(rows(|i, t| format!("{i};{t:.2}")), "told.time_unit", "minute");
        refused(
            rows(|i, t| format!("{i:02}:00;{t:.2}")),
            "told.time_unit",
            "minute_second",
        );
        let warm = rows(|i, t| format!("{i};{:.1}", t + 45.0));
        refused(
            format!("min;value\n{warm}"),
            "told.temperature_unit",
            "fahrenheit",
        );
        refused(rows(|i, t| format!("{i},0,{t:.0},5")), "text", "export with ';'");
        refused(
            format!("min;T1 °C;T2 °C\n{}", rows(|i, t| format!("{i};{t:.1};{t:.1}"))),
            "told.temperature_column",
            "T2",
        );
        refused(rows(|i, t| format!("{i};1;{t:.1}")), "told.time_column", "place");
        refused(String::new(), "text", "empty");
        refused("a tale of a cup".into(), "text", "columns");
        refused("min;°C\n1;20\n2;21".into(), "text", "8 rows");
        refused(
            format!("min;°C\n{}\n3;20", rows(|i, t| format!("{i};{t:.1}"))),
            "text",
            "sort the rows",
        );
        let mut late = CupLog::of(format!("min;°C\n{}", rows(|i, t| format!("{i};{t:.1}"))));
        late.told.mixed_at = Some("50".into());
        assert!(late.read_log().unwrap_err().to_string().contains("before mixing"));
    }

    /// The calendar: a leap day is a day of 24 h; what no calendar has is refused, in the first row too; a date that goes back is
    /// no midnight.
    #[test]
    fn dates_are_those_of_the_calendar() {
        let leap = |year: u32| {
            rows(|i, t| match i {
                0..20 => format!("{year}-02-28 23:{:02}:00;{t:.2}", 40 + i),
                _ => format!("{year}-02-29 00:{:02}:00;{t:.2}", i - 20),
            })
        };
        check(leap(2028));
        refused(leap(2027), "text", "a day that the calendar has");
        let first = |from: &str, to: &str| leap(2028).replacen(from, to, 1);
        refused(first("2028-02-28", "2028-02-30"), "text", "line 1:");
        refused(
            first("2028-02-28", "2028-13-01"),
            "text",
            "a day that the calendar has",
        );
        let back = leap(2028).replace("2028-02-29", "2028-02-28");
        refused(back, "text", "sort the rows");
        refused(first("23:40:00", "23:61:00"), "text", "line 1:");
        let mut log = CupLog::of(leap(2028));
        log.told.mixed_at = Some("23:45:00".into());
        let e = log.read_log().unwrap_err();
        assert!(
            e.field() == "told.mixed_at" && e.to_string().contains("date"),
            "{e}"
        );
        log.told.mixed_at = Some("2028-02-28 23:45:00".into());
        assert_eq!(log.read_log().unwrap().time_s.len(), 35);
    }

    #[test]
    fn what_is_odd_is_named() {
        let odd = |text: String| CupLog::of(text).read_log().unwrap().findings.join("; ");
        let told = odd(format!(
            "min;°C\n{}",
            rows(|i, t| format!("{i};{:.1}", 32.0 + 1.8 * t))
        ));
        assert!(told.contains("begins at 68") && told.contains("20 °C"), "{told}");
        let told = odd(format!(
            "min;°C\n{}",
            rows(|i, t| format!("{};{t:.1}", if i < 24 { i } else { i + 15 }))
        ));
        assert!(told.contains("a gap of 16.0 min after 23.0 min"), "{told}");
        let told = odd(format!(
            "min;°C\n{}",
            rows(|i, t| format!("{};{t:.1}", f64::from(i) - 5.0))
        ));
        assert!(told.contains("5 rows before mixing"), "{told}");
        let told = odd(format!(
            "min;°C\n{}",
            rows(|i, t| if i == 9 {
                format!("{i};")
            } else {
                format!("{i};{t:.1}")
            })
        ));
        assert!(told.contains("1 rows without a reading"), "{told}");
        let told = odd(format!(
            "min;°C\n{}",
            rows(|i, t| format!("{i};{:.1}", if i == 9 { 85.0 } else { t }))
        ));
        assert!(told.contains("1 lone reading"), "{told}");
        // The same time again, with a reading that no thermometer shows: the first one stands.
        let log = CupLog::of(format!(
            "min;°C\n{}",
            rows(|i, t| if i == 9 {
                format!("9;{t:.2}\n9;-400")
            } else {
                format!("{i};{t:.2}")
            })
        ));
        let log = log.read_log().unwrap();
        assert!(
            log.time_s.len() == 40 && log.temperature_k[9] > 290.0,
            "{:?}",
            log.findings
        );
        assert!(
            log.findings[0].contains("1 rows without a reading"),
            "{:?}",
            log.findings
        );
    }
}
