//! What a part costs: materials, hands, those that are spoiled; and from how many on another way is cheaper.

use gelwright_base::noun::{self, Noun, questions};
use gelwright_base::quantity::{Money, Quantity, RelativeAmount, Time, show};
use gelwright_base::source::Why;
use gelwright_base::{Error, ErrorKind, Result};

/// What castings cost.
#[derive(Clone, PartialEq, Noun)]
pub struct PartCosts {
    /// Materials of one casting, waste included (a share of whole packages, where they are bought for it).
    pub materials: Money,
    /// Hands-on time of one casting.
    #[noun(default = "0 min", within("0 min", "1000 h", "add up the hands-on time"))]
    pub hands: Time,
    /// What an hour of work costs.
    pub hour: Option<Money>,
    /// Share of castings that are spoiled.
    #[noun(default = "0 %", within("0 %", < "100 %", "give the share that is spoiled"))]
    pub spoiled: RelativeAmount,
    /// What is paid once: mould, patterns, tools.
    pub once: Option<Money>,
    /// Good parts wanted.
    #[noun(default = 1, within(1, 100_000, "count the good parts"))]
    pub parts: u32,
}

/// What so many good parts cost.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CastingCosts {
    /// Materials and hands of one casting: what is lost with a spoiled one.
    pub casting: Money,
    /// Castings that it takes, in the mean.
    pub castings: f64,
    /// Castings that are enough in 19 of 20 cases: buy for these.
    pub castings_to_be_sure: u32,
    /// All good parts, those that are spoiled and what is paid once with them, in the mean.
    pub all: Money,
    /// One good part.
    pub part: Money,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl PartCosts {
    /// What a casting costs, and what so many good parts cost when some are spoiled.
    ///
    /// A casting is its materials and `hands x hour`. Of castings of which a share `s` is spoiled, independently, `n` good parts
    /// take `n/(1 - s)` castings in the mean (negative binomial law); the number that is enough in 19 of 20 cases is the least `N`
    /// with at least `n` good ones of `N` at 95 % (binomial law). Interest, rooms, energy and tax are not in it.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for hands without the price of an hour, and for two currencies.
    #[question("stock.costs")]
    pub fn costs(&self) -> Result<CastingCosts> {
        noun::check(self)?;
        let zero = Money {
            amount: 0.0,
            ..self.materials
        };
        let hours = self.hands.si() / 3600.0;
        let work = match self.hour {
            Some(hour) => Money {
                amount: hour.amount * hours,
                ..hour
            },
            None if hours == 0.0 => zero,
            None => {
                return Err(Error::new(ErrorKind::Inconsistent, "hour")
                    .with_value(format_args!("{} of work", show(self.hands)))
                    .with_way_out(
                        "give what an hour of work costs, '0 EUR' if it is your own, for example '18 EUR'",
                    ));
            }
        };
        let casting = self.materials.plus(work).map_err(|e| e.at("hour"))?;
        let good = 1.0 - self.spoiled.get();
        let castings = f64::from(self.parts) / good;
        let once = self.once.unwrap_or(zero);
        let all = Money {
            amount: casting.amount * castings,
            ..casting
        }
        .plus(once)
        .map_err(|e| e.at("once"))?;
        let part = Money {
            amount: all.amount / f64::from(self.parts),
            ..all
        };
        Ok(CastingCosts {
            casting,
            castings,
            castings_to_be_sure: enough(self.parts, good),
            all,
            part,
            why: Why::computed(
                "one good part",
                part.to_string(),
                "[(materials + hands x hour) x n/(1 - s) + once]/n",
                vec![
                    Why::given("materials", self.materials.to_string()),
                    Why::given("hands", show(self.hands)),
                    Why::given("hour", self.hour.unwrap_or(zero).to_string()),
                    Why::given("s, spoiled", show(self.spoiled)),
                    Why::given("once", once.to_string()),
                    Why::given("n, good parts", self.parts.to_string()),
                ],
            ),
        })
    }
}

/// The least number of castings of which at least `parts` are good in 19 of 20 cases.
fn enough(parts: u32, good: f64) -> u32 {
    if good >= 1.0 {
        return parts;
    }
    // The chance that the last good part is casting number `parts + bad`: a negative binomial law, summed up.
    let n = f64::from(parts);
    let mut log_chance = n * good.ln();
    let mut sum = log_chance.exp();
    let mut bad = 0u32;
    while sum < 0.95 && bad < u32::MAX - parts {
        log_chance += ((n + f64::from(bad)) / f64::from(bad + 1) * (1.0 - good)).ln();
        sum += log_chance.exp();
        bad += 1;
        // Far in the tail nothing is added any more: the sum is as good as it gets.
        if f64::from(bad) > (n + 100.0) * 1e3 / good {
            break;
        }
    }
    parts + bad
}

/// A way to make the part.
#[derive(Clone, PartialEq, Noun)]
pub struct Way {
    /// Which ("hollow", "solid").
    pub name: String,
    /// What is paid once.
    pub once: Money,
    /// What each good part costs on top.
    pub each: Money,
}

/// Two ways to make a part.
#[derive(Clone, PartialEq, Noun)]
pub struct BreakEven {
    /// One way.
    pub one: Way,
    /// The other.
    pub other: Way,
}

/// From how many parts on which way is cheaper.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CheaperFrom {
    /// The way that costs no more, from `parts` on.
    pub cheaper: String,
    /// From so many parts on: 1 where it always is.
    pub parts: u32,
    /// The chain behind it.
    pub why: Why,
}

#[questions]
impl BreakEven {
    /// From how many parts on the way that costs less each is cheaper in all.
    ///
    /// The least whole `n` with `once_a + n each_a <= once_b + n each_b`, where `a` costs less each; where both cost the same
    /// each, the one that costs less once, from the first part on.
    ///
    /// # Errors
    /// [`ErrorKind::Inconsistent`] for two currencies; [`ErrorKind::NoSolution`] where it would take more than 4 000 000 000
    /// parts.
    #[question("stock.break_even")]
    pub fn break_even(&self) -> Result<CheaperFrom> {
        noun::check(self)?;
        for (field, money) in [
            ("one.each", self.one.each),
            ("other.once", self.other.once),
            ("other.each", self.other.each),
        ] {
            self.one.once.plus(money).map_err(|e| e.at(field))?;
        }
        let (a, b) = if (self.one.each.amount, self.one.once.amount)
            <= (self.other.each.amount, self.other.once.amount)
        {
            (&self.one, &self.other)
        } else {
            (&self.other, &self.one)
        };
        let (more_once, less_each) = (a.once.amount - b.once.amount, b.each.amount - a.each.amount);
        let parts = if more_once <= 0.0 {
            1.0
        } else {
            (more_once / less_each * (1.0 - 1e-12)).ceil().max(1.0)
        };
        if parts > 4e9 {
            return Err(Error::no_solution(
                "one",
                format!("from how many parts on '{}' is cheaper", a.name),
                "more than 4 000 000 000 parts",
                format!("take '{}'", b.name),
            ));
        }
        let why = Why::computed(
            format!("'{}' costs no more", a.name),
            format!("from {parts} parts on"),
            "least n with once_a + n each_a <= once_b + n each_b",
            [a, b]
                .map(|w| Why::given(w.name.clone(), format!("{} once, {} each", w.once, w.each)))
                .to_vec(),
        );
        Ok(CheaperFrom {
            cheaper: a.name.clone(),
            parts: parts as u32,
            why,
        })
    }
}
