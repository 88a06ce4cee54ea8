//! The cut list: pieces of mat and cloth from a roll.

use gelwright_base::noun::{self, Noun, questions};
use gelwright_base::quantity::{self, Area, Length, Quantity, RelativeAmount, show};
use gelwright_base::source::Why;
use gelwright_base::{Error, Result};

/// A piece to cut: the rectangle that its shape is cut from.
#[derive(Clone, PartialEq, Noun)]
pub struct Piece {
    /// What it is for.
    pub name: String,
    /// Along the roll.
    #[noun(within("1 mm", "100 m", "give the piece's length"))]
    pub length: Length,
    /// Across the roll.
    #[noun(within("1 mm", "100 m", "give the piece's width"))]
    pub width: Length,
    /// How many of them.
    #[noun(default = 1, within(1, 1000, "count the pieces"))]
    pub count: u32,
    /// Whether it may lie across: mat has no direction, cloth has its warp.
    #[noun(default)]
    pub turns: bool,
}

/// A roll, and what is to be cut from it.
#[derive(Clone, PartialEq, Noun)]
pub struct Roll {
    /// Its width.
    #[noun(within("10 mm", "10 m", "give the roll's width"))]
    pub width: Length,
    /// What is left on it; as long as it takes, if not said.
    #[noun(within("0 m", "10 km", "give what is left on the roll"))]
    pub length: Option<Length>,
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// Where a piece is cut.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CutPiece {
    /// Which.
    pub name: String,
    /// From the roll's end to its nearer edge.
    pub along: Length,
    /// From the roll's left edge to its nearer edge.
    pub across: Length,
    /// How much of the roll's length it takes.
    pub length: Length,
    /// How much of the roll's width it takes.
    pub width: Length,
    /// Whether it lies across.
    pub turned: bool,
}

/// The cut list.
#[derive(Clone, PartialEq, Noun)]
#[non_exhaustive]
pub struct CutList {
    /// The pieces, from the roll's end on.
    pub pieces: Vec<CutPiece>,
    /// Length of the roll that it takes.
    pub length: Length,
    /// No cut list takes less: the pieces' area over the width, or the longest piece, or those that cannot lie side by side.
    pub at_least: Length,
    /// What is cut off, of the area taken.
    pub waste: RelativeAmount,
    /// Area taken from the roll.
    pub area: Area,
    /// The chain behind it.
    pub why: Why,
}

/// Pieces at most, in all.
const MOST_PIECES: usize = 2000;
/// So many pieces are tried in every order.
const ALL_ORDERS: usize = 6;

#[questions]
impl Roll {
    /// How to cut the pieces from the roll so that it takes little of its length.
    ///
    /// Each piece in turn is laid as near to the roll's end as it fits, and there as far left, on the outline of those laid
    /// before it (the skyline); up to six pieces are tried in every order, more in six orders of size, each both ways round
    /// where it may turn. `at_least` tells how far from the best that can be: the two are often one. Pieces are rectangles:
    /// what is cut out of them is no use to another.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](gelwright_base::ErrorKind::OutOfRange) for a piece wider than the roll;
    /// [`ErrorKind::NoSolution`](gelwright_base::ErrorKind::NoSolution) where what is left on the roll is too short, or for more
    /// than 2000 pieces.
    #[question("stock.cut")]
    pub fn cut(&self) -> Result<CutList> {
        noun::check(self)?;
        let all = self.rectangles()?;
        let width = self.width.si();
        let laid = orders(&all)
            .map(|order| lay(&all, &order, width))
            .min_by(|a, b| a.length.total_cmp(&b.length))
            .unwrap_or_default();
        let least = at_least(&all, width);
        if let Some(there) = self
            .length
            .filter(|there| laid.length > there.si() * (1.0 + SLIP))
        {
            return Err(Error::no_solution(
                "length",
                format!("cutting {} pieces from {}", all.len(), show(there)),
                format!("{} would do", show(quantity::known::<Length>(laid.length))),
                "open another roll, or let pieces of mat turn",
            ));
        }
        Ok(self.list(&all, &laid, least))
    }
}

/// What an edge may stand over by without a word.
const SLIP: f64 = 1e-9;

/// A piece by number, with its sizes.
struct Rectangle {
    piece: usize,
    length: f64,
    width: f64,
    turns: bool,
}

impl Roll {
    fn rectangles(&self) -> Result<Vec<Rectangle>> {
        let count: usize = self.pieces.iter().map(|p| p.count as usize).sum();
        if count > MOST_PIECES {
            return Err(Error::no_solution(
                "pieces",
                format!("a cut list of {count} pieces"),
                format!("at most {MOST_PIECES}"),
                "cut one casting after another",
            ));
        }
        let mut all = Vec::with_capacity(count);
        for (i, p) in self.pieces.iter().enumerate() {
            let narrow = if p.turns {
                p.width.si().min(p.length.si())
            } else {
                p.width.si()
            };
            if narrow > self.width.si() * (1.0 + SLIP) {
                return Err(Error::out_of_range(
                    format!("pieces[{i}].width"),
                    show(p.width),
                    format!("at most the roll's width, {}", show(self.width)),
                    "join it from two pieces that overlap, or let it turn if it is mat",
                ));
            }
            all.extend((0..p.count).map(|_| Rectangle {
                piece: i,
                length: p.length.si(),
                width: p.width.si(),
                turns: p.turns && p.length.si() != p.width.si(),
            }));
        }
        Ok(all)
    }

    fn list(&self, all: &[Rectangle], laid: &Laid, least: f64) -> CutList {
        let (length, least) = (
            quantity::known::<Length>(laid.length),
            quantity::known::<Length>(least),
        );
        let mut pieces: Vec<CutPiece> = laid
            .places
            .iter()
            .map(|p| CutPiece {
                name: self.pieces[all[p.rectangle].piece].name.clone(),
                along: quantity::known(p.along),
                across: quantity::known(p.across),
                length: quantity::known(p.length),
                width: quantity::known(p.width),
                turned: p.turned,
            })
            .collect();
        pieces.sort_by(|a, b| {
            (a.along.si(), a.across.si())
                .partial_cmp(&(b.along.si(), b.across.si()))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        let taken = laid.length * self.width.si();
        let used: f64 = all.iter().map(|r| r.length * r.width).sum();
        let waste = if taken > 0.0 {
            (1.0 - used / taken).max(0.0)
        } else {
            0.0
        };
        CutList {
            pieces,
            length,
            at_least: least,
            waste: quantity::known(waste),
            area: quantity::known(taken),
            why: Why::computed(
                "length of roll",
                show(length),
                "each piece as near to the roll's end as it fits, the best of many orders",
                vec![
                    Why::given("width", show(self.width)),
                    Why::given("area of the pieces", show(quantity::known::<Area>(used))),
                    Why::given("no list takes less than", show(least)),
                ],
            ),
        }
    }
}

/// No list takes less than this.
fn at_least(all: &[Rectangle], width: f64) -> f64 {
    // Along the roll it takes at least its shorter side, where it may turn and both ways fit.
    let shortest = |r: &Rectangle| match r.turns && r.length <= width && r.length > r.width {
        true => r.width,
        false => r.length,
    };
    let area: f64 = all.iter().map(|r| r.length * r.width).sum();
    // Two that are both wider than half the roll, whichever way they lie, lie one after the other.
    let wide = all
        .iter()
        .filter(|r| r.width > 0.5 * width && (!r.turns || r.length > 0.5 * width))
        .map(shortest)
        .sum();
    all.iter().map(shortest).fold(area / width, f64::max).max(wide)
}

/// Where a rectangle lies.
struct Place {
    rectangle: usize,
    along: f64,
    across: f64,
    length: f64,
    width: f64,
    turned: bool,
}

#[derive(Default)]
struct Laid {
    places: Vec<Place>,
    length: f64,
}

/// Lays the rectangles in an order, each by its number with the way round it is to lie.
fn lay(all: &[Rectangle], order: &[(usize, Way)], width: f64) -> Laid {
    let mut skyline = Skyline::new(width);
    let mut laid = Laid::default();
    for (number, way) in order {
        let r = &all[*number];
        let ways: &[bool] = match way {
            _ if !r.turns => &[false],
            Way::Straight => &[false],
            Way::Across => &[true],
            Way::Either => &[false, true],
        };
        let best = ways
            .iter()
            .filter_map(|turned| {
                let (l, w) = if *turned {
                    (r.width, r.length)
                } else {
                    (r.length, r.width)
                };
                skyline.fits(w).map(|(along, across)| Place {
                    rectangle: *number,
                    along,
                    across,
                    length: l,
                    width: w,
                    turned: *turned,
                })
            })
            .min_by(|a, b| (a.along + a.length).total_cmp(&(b.along + b.length)));
        let Some(place) = best else {
            // This way round it is wider than the roll: another order lays it the other way.
            return Laid {
                places: Vec::new(),
                length: f64::INFINITY,
            };
        };
        skyline.raise(&place);
        laid.length = laid.length.max(place.along + place.length);
        laid.places.push(place);
    }
    laid
}

/// Which way round a piece is laid.
#[derive(Clone, Copy)]
enum Way {
    Straight,
    Across,
    Either,
}

/// The orders that are tried.
fn orders(all: &[Rectangle]) -> Box<dyn Iterator<Item = Vec<(usize, Way)>> + '_> {
    let either = |order: Vec<usize>| order.into_iter().map(|i| (i, Way::Either)).collect::<Vec<_>>();
    if all.len() > ALL_ORDERS {
        let by: [fn(&Rectangle) -> f64; 6] = [
            |r| r.width,
            |r| r.length,
            |r| r.width * r.length,
            |r| r.width + r.length,
            |r| r.width.max(r.length),
            |r| r.width.min(r.length),
        ];
        return Box::new(by.into_iter().map(move |size| {
            let mut order: Vec<usize> = (0..all.len()).collect();
            order.sort_by(|a, b| size(&all[*b]).total_cmp(&size(&all[*a])));
            either(order)
        }));
    }
    let all_ways = 1usize << all.len();
    Box::new(permutations(all.len()).into_iter().flat_map(move |order| {
        (0..all_ways)
            .filter(|ways| all.iter().enumerate().all(|(i, r)| r.turns || ways >> i & 1 == 0))
            .map(move |ways| {
                let way = |i: usize| {
                    if ways >> i & 1 == 1 {
                        Way::Across
                    } else {
                        Way::Straight
                    }
                };
                order.iter().map(|i| (*i, way(*i))).collect()
            })
    }))
}

fn permutations(n: usize) -> Vec<Vec<usize>> {
    (0..n).fold(vec![Vec::new()], |shorter, next| {
        shorter
            .into_iter()
            .flat_map(|p: Vec<usize>| {
                (0..=p.len()).map(move |at| {
                    let mut longer = p.clone();
                    longer.insert(at, next);
                    longer
                })
            })
            .collect()
    })
}

/// The outline of what is laid: steps across the roll, each `(from, along)`.
struct Skyline {
    steps: Vec<(f64, f64)>,
    width: f64,
}

impl Skyline {
    fn new(width: f64) -> Self {
        Skyline {
            steps: vec![(0.0, 0.0)],
            width,
        }
    }

    /// Nearest to the roll's end, then farthest left, where something so wide fits.
    fn fits(&self, w: f64) -> Option<(f64, f64)> {
        self.steps
            .iter()
            .filter(|(from, _)| from + w <= self.width * (1.0 + SLIP))
            .map(|(from, _)| {
                let under = self.steps.iter().enumerate().filter(|(i, s)| {
                    let to = self.steps.get(i + 1).map_or(self.width, |n| n.0);
                    s.0 < from + w - SLIP * self.width && to > from + SLIP * self.width
                });
                (under.map(|(_, s)| s.1).fold(0.0, f64::max), *from)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))
    }

    fn raise(&mut self, place: &Place) {
        let (from, to) = (place.across, place.across + place.width);
        let top = place.along + place.length;
        let behind = self
            .steps
            .iter()
            .rfind(|s| s.0 <= to + SLIP * self.width)
            .map_or(0.0, |s| s.1);
        let mut steps: Vec<(f64, f64)> = self
            .steps
            .iter()
            .copied()
            .filter(|s| s.0 < from - SLIP * self.width)
            .collect();
        steps.push((from, top));
        if to < self.width * (1.0 - SLIP) && !self.steps.iter().any(|s| (s.0 - to).abs() <= SLIP * self.width)
        {
            steps.push((to, behind));
        }
        steps.extend(
            self.steps
                .iter()
                .copied()
                .filter(|s| s.0 >= to - SLIP * self.width && s.0 < self.width * (1.0 - SLIP)),
        );
        self.steps = steps;
    }
}
