//! Packages: the cheapest that cover what is missing.

use gelwright_base::noun::{self, Noun, questions};
use gelwright_base::quantity::{Currency, Money};
use gelwright_base::source::Why;
use gelwright_base::{Error, ErrorKind, Result};

use crate::held::Held;

/// A price for each package from a number of packages on.
#[derive(Clone, PartialEq, Noun)]
pub struct PriceFrom {
    /// From so many of them on, all of them cost this.
    #[noun(within(2, 100_000, "count the packages from which the price holds"))]
    pub packages: u32,
    /// Price of one.
    pub price: Money,
}

/// A package as it is sold.
#[derive(Clone, PartialEq, Noun)]
pub struct Package {
    /// What it is called ("1 kg tin").
    pub name: String,
    /// What is in it.
    pub size: Held,
    /// Price of one.
    pub price: Money,
    /// Prices for more of them.
    #[noun(default)]
    pub from: Vec<PriceFrom>,
}

/// What is to be bought.
#[derive(Clone, PartialEq, Noun)]
pub struct Purchase {
    /// What one casting lacks.
    pub missing: Held,
    /// For how many castings it is bought.
    #[noun(default = 1, within(1, 10_000, "count the castings"))]
    pub castings: u32,
    /// The packages that are sold.
    pub packages: Vec<Package>,
}

/// Packages of a kind that are bought.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Bought {
    /// Which.
    pub package: String,
    /// How many.
    pub count: u32,
    /// Price of one, of so many.
    pub price: Money,
}

/// What is bought.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct Cover {
    /// Which packages.
    pub bought: Vec<Bought>,
    /// What they cost.
    pub cost: Money,
    /// What that is for each casting.
    pub cost_of_each: Money,
    /// What is in them.
    pub amount: Held,
    /// What is left over.
    pub left_over: Held,
    /// The chain behind it.
    pub why: Why,
}

/// Packages of one kind at most: more than anybody carries home, and as many as a price may be from.
const MOST_OF_ONE: f64 = 1e5;
/// Nodes of the search at most: a shop's list of packages takes a few hundred.
const MOST_NODES: usize = 2_000_000;

#[questions]
impl Purchase {
    /// The cheapest packages that cover what is missing; of equally cheap ones those that leave the least over.
    ///
    /// The least sum of `count x price(count)` with `sum of count x size >= missing x castings`, every count a whole number; a
    /// price for more packages holds for all of them. Found by branch and bound: a branch ends where even the rest at its best
    /// price by amount costs as much as what was found. Delivery is not in it, nor how long what is left over keeps.
    ///
    /// # Errors
    /// [`ErrorKind::WrongDimension`] for a package measured in another kind of unit; [`ErrorKind::OutOfRange`] for an empty
    /// package; [`ErrorKind::Inconsistent`] for two currencies, and for prices of more packages that are not in order;
    /// [`ErrorKind::NoSolution`] without a package, or where it would take more packages than can be searched.
    #[question("stock.cover")]
    pub fn cover(&self) -> Result<Cover> {
        noun::check(self)?;
        let currency = self.check()?;
        let wanted = self.missing.amount * f64::from(self.castings);
        let counts = Search::of(self, wanted).best()?;
        let zero = Money {
            amount: 0.0,
            currency,
        };
        let mut cost = zero;
        let mut amount = 0.0;
        let mut bought = Vec::new();
        let mut behind = vec![
            Why::given("missing for one", self.missing.to_string()),
            Why::given("castings", self.castings.to_string()),
        ];
        for (package, count) in self.packages.iter().zip(counts).filter(|(_, n)| *n > 0) {
            let price = package.price_of_each(count);
            cost = cost.plus(Money {
                amount: price.amount * f64::from(count),
                ..price
            })?;
            amount += package.size.amount * f64::from(count);
            behind.push(Why::given(
                format!("{count} x {}", package.name),
                format!("{price} each"),
            ));
            bought.push(Bought {
                package: package.name.clone(),
                count,
                price,
            });
        }
        Ok(Cover {
            bought,
            cost,
            cost_of_each: Money {
                amount: cost.amount / f64::from(self.castings),
                ..cost
            },
            amount: self.missing.with(amount),
            left_over: self.missing.with(amount - wanted),
            why: Why::computed(
                "cheapest cover",
                cost.to_string(),
                "least sum of count x price(count) with sum of count x size >= missing",
                behind,
            ),
        })
    }
}

impl Package {
    fn price_of_each(&self, count: u32) -> Money {
        let holds = self.from.iter().rfind(|p| p.packages <= count);
        holds.map_or(self.price, |p| p.price)
    }
}

impl Purchase {
    fn check(&self) -> Result<Currency> {
        let Some(one) = self.packages.first() else {
            return Err(Error::no_solution(
                "packages",
                format!("covering {}", self.missing),
                "no package is sold",
                "list the packages with their prices",
            ));
        };
        for (i, p) in self.packages.iter().enumerate() {
            let at = |field: &str| format!("packages[{i}].{field}");
            p.size.like(&at("size"), self.missing)?;
            if p.size.amount <= 0.0 {
                return Err(Error::out_of_range(
                    at("size"),
                    p.size,
                    "more than nothing",
                    "give what is in the package",
                ));
            }
            for money in std::iter::once(p.price).chain(p.from.iter().map(|f| f.price)) {
                one.price.plus(money).map_err(|e| e.at(at("price")))?;
            }
            if p.from.windows(2).any(|w| w[1].packages <= w[0].packages) {
                return Err(Error::new(ErrorKind::Inconsistent, at("from"))
                    .with_value("prices out of order")
                    .with_allowed("each from more packages than the one before")
                    .with_way_out("put them in order, each number once"));
            }
        }
        Ok(one.price.currency)
    }
}

/// A search for the cheapest counts.
struct Search<'p> {
    packages: &'p [Package],
    /// Numbers of the packages, the cheapest by amount first.
    order: Vec<usize>,
    /// The best price by amount from a place in the order on.
    best_rate: Vec<f64>,
    wanted: f64,
    counts: Vec<u32>,
    found: Option<Found>,
    nodes: usize,
}

struct Found {
    cost: f64,
    left_over: f64,
    counts: Vec<u32>,
}

/// Costs and amounts closer than this, of themselves, are the same.
const SAME: f64 = 1e-12;

impl<'p> Search<'p> {
    fn of(purchase: &'p Purchase, wanted: f64) -> Self {
        let packages = &purchase.packages;
        let rate = |p: &Package| {
            let least = p
                .from
                .iter()
                .map(|f| f.price.amount)
                .fold(p.price.amount, f64::min);
            least / p.size.amount
        };
        let mut order: Vec<usize> = (0..packages.len()).collect();
        order.sort_by(|a, b| rate(&packages[*a]).total_cmp(&rate(&packages[*b])));
        let best_rate = order.iter().map(|i| rate(&packages[*i])).collect();
        Search {
            packages,
            order,
            best_rate,
            wanted,
            counts: vec![0; packages.len()],
            found: None,
            nodes: 0,
        }
    }

    fn best(mut self) -> Result<Vec<u32>> {
        self.from(0, 0.0, 0.0)?;
        Ok(self.found.map_or(self.counts, |f| f.counts))
    }

    fn too_many(&self) -> Error {
        Error::no_solution(
            "packages",
            "the cheapest cover",
            format!("more than {MOST_NODES} choices"),
            "leave out packages that are far too small for what is missing",
        )
    }

    /// Tries every number of the package at a place, the others after it.
    fn from(&mut self, place: usize, cost: f64, amount: f64) -> Result<()> {
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            return Err(self.too_many());
        }
        let rest = self.wanted - amount;
        if rest <= SAME * self.wanted {
            self.keep(cost, -rest);
            return Ok(());
        }
        let Some(&number) = self.order.get(place) else {
            return Ok(());
        };
        if self
            .found
            .as_ref()
            .is_some_and(|f| cost + rest * self.best_rate[place] > f.cost * (1.0 + SAME))
        {
            return Ok(());
        }
        let package = &self.packages[number];
        let enough = (rest / package.size.amount * (1.0 - SAME)).ceil();
        if enough > MOST_OF_ONE {
            return Err(Error::no_solution(
                format!("packages[{number}].size"),
                "the cheapest cover",
                format!("{enough} x {} where {MOST_OF_ONE} are the most", package.name),
                "leave out packages that are far too small for what is missing",
            ));
        }
        let enough = enough as u32;
        // More than enough only where more of them cost less.
        let cheaper = package.from.iter().map(|f| f.packages).filter(|n| *n > enough);
        let least = if place + 1 == self.order.len() { enough } else { 0 };
        for count in cheaper.chain((least..=enough).rev()) {
            self.counts[number] = count;
            let paid = package.price_of_each(count).amount * f64::from(count);
            self.from(
                place + 1,
                cost + paid,
                amount + package.size.amount * f64::from(count),
            )?;
        }
        self.counts[number] = 0;
        Ok(())
    }

    fn keep(&mut self, cost: f64, left_over: f64) {
        let better = self.found.as_ref().is_none_or(|f| {
            let same = (cost - f.cost).abs() <= SAME * f.cost.abs();
            if same {
                left_over < f.left_over - SAME * self.wanted
            } else {
                cost < f.cost
            }
        });
        if better {
            self.found = Some(Found {
                cost,
                left_over: left_over.max(0.0),
                counts: self.counts.clone(),
            });
        }
    }
}
