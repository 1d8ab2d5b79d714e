//! Where a point lies to a zone: how far inside or outside its edge, to well under 0.1 m.
//!
//! Every edge is cut along its geodesic into pieces of at most [`PIECE`] metres. Over that length
//! the geodesic, the normal section through its ends and the plane through its ends and the
//! earth's centre lie within 2 mm of each other, so inside and outside can be told on a central
//! projection, where pieces are straight, and distances can be measured with vectors. No latitude,
//! longitude, pole or 180° meridian comes into it. Distances beyond the reach of those closed forms
//! are answered by the published geodesic algorithm.

use earth::{DegreesTrue, Metres, Position, Surface, Vector, geodesic, surface};
use plan::Shape;

/// Metres: the longest piece of an edge.
const PIECE: f64 = 5_000.0;

/// Metres: the mean radius of the earth (IUGG), good for distances of some kilometres and for small
/// corrections.
pub(crate) const MEAN_RADIUS: f64 = 6_371_008.8;

/// Metres: a point this near to an edge lies on it.
pub(crate) const ON_EDGE: f64 = 0.001;

/// A short piece of a geodesic line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    from: Surface,
    to: Surface,
    /// From the start to the end, length 1.
    along: Vector,
    /// Level and to the right of `along`, length 1.
    right: Vector,
    /// Up in its middle, length 1.
    up: Vector,
    length: f64,
}

impl Piece {
    fn new(from: Surface, to: Surface) -> Self {
        let across = to.point - from.point;
        let along = across.unit();
        let right = along.cross(from.up + to.up).unit();
        Self { from, to, along, right, up: right.cross(along), length: across.length() }
    }

    /// How far right of the piece's line a point lies, and how far along it from its start.
    fn right_and_along(&self, at: &Surface) -> (f64, f64) {
        let from_start = at.point - self.from.point;
        (from_start.dot(self.right), from_start.dot(self.along))
    }

    fn distance(&self, at: &Surface) -> f64 {
        let from_start = at.point - self.from.point;
        let (right, along) = (from_start.dot(self.right), from_start.dot(self.along));
        if along <= 0.0 {
            return self.from.distance(at).get();
        }
        if along >= self.length {
            return self.to.distance(at).get();
        }
        if right.abs() > surface::NEAR {
            return self.far_distance(at, along / self.length);
        }
        // The foot on the surface lies over the chord by its sagitta. The foot of the perpendicular
        // plane lies off the geodesic one by a length of second order, which changes the distance
        // by one of fourth; the sphere's radius for the curvature errs by less than 0.1 mm.
        let sagitta = along * (self.length - along) / (2.0 * MEAN_RADIUS);
        let above = from_start.dot(self.up) - sagitta;
        let chord = (right * right + above * above).sqrt();
        chord * (1.0 + chord * chord / (24.0 * MEAN_RADIUS * MEAN_RADIUS))
    }

    /// Moves the foot along the piece until the geodesic to the point leaves it squarely.
    fn far_distance(&self, at: &Surface, mut share: f64) -> f64 {
        let target = at.position();
        let mut least = f64::MAX;
        for _ in 0..4 {
            let foot = self.from.between(&self.to, share.clamp(0.0, 1.0));
            let way = geodesic::inverse(foot.position(), target);
            least = least.min(way.distance.get());
            let off = foot.direction(self.along).shortest_to(way.azimuth_start).get();
            share += way.distance.get() * libm::cos(off.to_radians()) / self.length;
        }
        least
    }
}

/// A geodesic line through points, cut into pieces.
fn pieces_of(line: impl Iterator<Item = Position>) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut before: Option<Position> = None;
    for to in line {
        if let Some(from) = before {
            let way = geodesic::inverse(from, to);
            let count = libm::ceil(way.distance.get() / PIECE).clamp(1.0, 1e6);
            let mut start = Surface::from(from);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "1 to a million"
            )]
            for step in 1..=count as u32 {
                let end = if f64::from(step) >= count {
                    Surface::from(to)
                } else {
                    let distance = Metres::of(way.distance.get() * f64::from(step) / count);
                    Surface::from(geodesic::direct(from, way.azimuth_start, distance).0)
                };
                if start.chord(&end) > 0.0 {
                    pieces.push(Piece::new(start, end));
                }
                start = end;
            }
        }
        before = Some(to);
    }
    pieces
}

fn nearest(pieces: &[Piece], at: &Surface) -> f64 {
    let mut least = f64::MAX;
    for piece in pieces {
        // No point of the piece is nearer than its start less its length.
        if piece.from.chord(at) - piece.length - 1.0 < least {
            least = least.min(piece.distance(at));
        }
    }
    least
}

/// The central projection of the surface on the plane that touches at a zone's middle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Projection {
    middle: Vector,
    first: Vector,
    second: Vector,
}

impl Projection {
    fn about(middle: Vector) -> Self {
        let middle = middle.unit();
        let [x, y, z] = middle.0;
        let aside = if z.abs() < 0.7 {
            Vector([0.0, 0.0, 1.0])
        } else if x.abs() < y.abs() {
            Vector([1.0, 0.0, 0.0])
        } else {
            Vector([0.0, 1.0, 0.0])
        };
        let first = aside.cross(middle).unit();
        Self { middle, first, second: middle.cross(first) }
    }

    /// Plane coordinates; `None` on the far side of the earth.
    fn of(&self, at: Vector) -> Option<(f64, f64)> {
        let depth = at.dot(self.middle);
        (depth > 0.0).then(|| (at.dot(self.first) / depth, at.dot(self.second) / depth))
    }
}

/// A closed ring, with its corners on the projection.
#[derive(Clone, Debug)]
pub(crate) struct Ring {
    pieces: Vec<Piece>,
    corners: Vec<(f64, f64)>,
}

impl Ring {
    fn new(points: &[Position], projection: &Projection) -> Self {
        let pieces = pieces_of(points.iter().chain(points.first()).copied());
        let corners = pieces.iter().filter_map(|piece| projection.of(piece.from.point)).collect();
        Self { pieces, corners }
    }

    /// Whether a projected point is inside, by the parity of crossings.
    fn holds(&self, (x, y): (f64, f64)) -> bool {
        let mut inside = false;
        let mut before = match self.corners.last() {
            Some(last) => *last,
            None => return false,
        };
        for &corner in &self.corners {
            if (corner.1 > y) != (before.1 > y) {
                let at = before.0 + (y - before.1) / (corner.1 - before.1) * (corner.0 - before.0);
                inside ^= x < at;
            }
            before = corner;
        }
        inside
    }
}

/// The runtime form of a zone's extent on the ground.
#[derive(Clone, Debug)]
pub(crate) enum Extent {
    Circle { centre: Surface, radius: f64 },
    Polygon { projection: Projection, outer: Ring, holes: Vec<Ring> },
    Corridor { pieces: Vec<Piece>, half_width: f64 },
    Sector { centre: Surface, radius: f64, from: DegreesTrue, sweep: f64, sides: Vec<Piece> },
    Gate { pieces: Vec<Piece> },
}

/// A zone's extent with a ball round it.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    pub(crate) extent: Extent,
    middle: Vector,
    reach: f64,
}

impl Outline {
    /// The runtime form of a shape; `None` for a combined zone, which has no extent of its own.
    pub(crate) fn new(shape: &Shape) -> Option<Self> {
        let extent = match shape {
            Shape::Circle { centre, radius } => {
                Extent::Circle { centre: Surface::from(*centre), radius: radius.get() }
            }
            Shape::Polygon { outer, holes } => {
                let middle =
                    outer.iter().fold(Vector::default(), |sum, at| sum + Surface::from(*at).point);
                let projection = Projection::about(middle);
                let ring = |points: &[Position]| Ring::new(points, &projection);
                Extent::Polygon {
                    projection,
                    outer: ring(outer),
                    holes: holes.iter().map(|hole| ring(hole)).collect(),
                }
            }
            Shape::Corridor { line, half_width } => Extent::Corridor {
                pieces: pieces_of(line.iter().copied()),
                half_width: half_width.get(),
            },
            Shape::Sector { centre, radius, from, to } => {
                sector(*centre, *radius, from.get(), to.get())
            }
            Shape::Gate { line, .. } => Extent::Gate { pieces: pieces_of(line.iter().copied()) },
            Shape::Combined { .. } => return None,
        };
        let (middle, reach) = ball(&extent);
        Some(Self { extent, middle, reach })
    }

    /// The ball round the zone: its middle and its radius in metres.
    pub(crate) fn ball(&self) -> ([f64; 3], f64) {
        (self.middle.0, self.reach)
    }

    /// Metres: no point of the zone is nearer than this. Cheap, and below nought near the zone.
    pub(crate) fn at_least(&self, at: &Surface) -> f64 {
        (at.point - self.middle).length() - self.reach
    }

    /// Metres outside the edge, negative inside; of a gate the distance from its line.
    pub(crate) fn outside(&self, at: &Surface) -> f64 {
        match &self.extent {
            Extent::Circle { centre, radius } => centre.distance(at).get() - radius,
            Extent::Polygon { projection, outer, holes } => {
                let mut edge = nearest(&outer.pieces, at);
                let flat = projection.of(at.point);
                let mut inside = flat.is_some_and(|at| outer.holds(at));
                for hole in holes {
                    edge = edge.min(nearest(&hole.pieces, at));
                    inside &= !flat.is_some_and(|at| hole.holds(at));
                }
                if inside { -edge } else { edge }
            }
            Extent::Corridor { pieces, half_width } => nearest(pieces, at) - half_width,
            Extent::Sector { centre, radius, from, sweep, sides } => {
                let beyond = centre.distance(at).get() - radius;
                let edge = nearest(sides, at);
                if from.clockwise_to(centre.azimuth_to(at)).get() > *sweep {
                    edge
                } else if beyond > 0.0 {
                    beyond
                } else {
                    beyond.max(-edge)
                }
            }
            Extent::Gate { pieces } => nearest(pieces, at),
        }
    }
}

fn sector(centre: Position, radius: Metres, from: f64, to: f64) -> Extent {
    let middle = Surface::from(centre);
    if from == 0.0 && to == 360.0 {
        return Extent::Circle { centre: middle, radius: radius.get() };
    }
    let (from, to) = (DegreesTrue::of(from), DegreesTrue::of(to));
    let side =
        |bearing| pieces_of([centre, geodesic::direct(centre, bearing, radius).0].into_iter());
    let mut sides = side(from);
    sides.extend(side(to));
    Extent::Sector {
        centre: middle,
        radius: radius.get(),
        from,
        sweep: from.clockwise_to(to).get(),
        sides,
    }
}

/// A ball that holds the zone: its middle, and its radius with a metre to spare.
fn ball(extent: &Extent) -> (Vector, f64) {
    let around = |pieces: &[Piece], more: f64| {
        let sum = pieces
            .iter()
            .fold(Vector::default(), |sum, piece| sum + piece.from.point + piece.to.point);
        #[expect(clippy::cast_precision_loss, reason = "a count of pieces is small")]
        let middle = sum * (0.5 / pieces.len().max(1) as f64);
        let reach = pieces.iter().fold(0.0_f64, |reach, piece| {
            let from = (piece.from.point - middle).length();
            reach.max(from).max((piece.to.point - middle).length())
        });
        (middle, reach + more + 1.0)
    };
    match extent {
        Extent::Circle { centre, radius } | Extent::Sector { centre, radius, .. } => {
            (centre.point, radius + 1.0)
        }
        // The bulge of the surface over the corners' middle is no farther away than the corners.
        Extent::Polygon { outer, .. } => {
            let (middle, reach) = around(&outer.pieces, 0.0);
            (middle, reach + reach * reach / 1e7)
        }
        Extent::Corridor { pieces, half_width } => around(pieces, *half_width),
        Extent::Gate { pieces } => around(pieces, 0.0),
    }
}

/// Where a short leg crosses a gate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GateCrossing {
    /// The fraction of the leg, above 0 and at most 1.
    pub(crate) fraction: f64,
    /// Whether it goes from the gate's left to its right, seen from its first end to its last.
    pub(crate) from_left: bool,
}

/// All crossings of a gate's line by a short leg, in order. A leg that begins on the line does not
/// cross it there; one that ends on it does.
pub(crate) fn gate_crossings(
    pieces: &[Piece],
    from: &Surface,
    to: &Surface,
    found: &mut Vec<GateCrossing>,
) {
    found.clear();
    for piece in pieces {
        let (before, along_before) = piece.right_and_along(from);
        let (after, along_after) = piece.right_and_along(to);
        if before.abs() <= ON_EDGE {
            continue;
        }
        let fraction = if after.abs() <= ON_EDGE {
            1.0
        } else if (before < 0.0) != (after < 0.0) {
            before / (before - after)
        } else {
            continue;
        };
        let along = along_before + (along_after - along_before) * fraction;
        if along < -ON_EDGE || along > piece.length + ON_EDGE {
            continue;
        }
        let crossing = GateCrossing { fraction, from_left: before < 0.0 };
        // Where two pieces meet both may see the one crossing.
        let leg = from.chord(to);
        let same = |other: &GateCrossing| {
            other.from_left == crossing.from_left && (other.fraction - fraction).abs() * leg < 0.01
        };
        if !found.iter().any(same) {
            found.push(crossing);
        }
    }
    found.sort_by(|a, b| a.fraction.total_cmp(&b.fraction));
}
