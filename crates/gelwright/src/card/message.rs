//! The one table of the card's words, in each language. What a casting names (its zones, recipes, materials) stays as it
//! was typed; documents are read with decimal points in any language.

use crate::limit::{Cause, Lever, LimitQuantity, Severity};
use crate::noun::Noun;
use crate::plan::{ChangeKind, DayChange, Work};

/// The language of a card.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Noun)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German, with its decimal comma.
    German,
}

impl Language {
    /// As HTML names it (BCP 47).
    pub(super) fn tag(self) -> &'static str {
        self.of("en", "de")
    }
    /// The English or the German word.
    pub(super) fn of<T>(self, english: T, german: T) -> T {
        match self {
            Language::English => english,
            Language::German => german,
        }
    }
}

macro_rules! messages {
    ($($name:ident $english:literal $german:literal;)*) => {
        /// What the card says.
        #[derive(Clone, Copy)]
        pub(super) enum Say { $($name,)* }
        impl Say {
            pub(super) fn in_(self, language: Language) -> &'static str {
                match self { $(Say::$name => language.of($english, $german),)* }
            }
        }
    };
}

messages! {
    Yes "Yes" "Ja";
    YesLong "cast it as planned" "so gießen, wie geplant";
    YesIf "Yes, if" "Ja, wenn";
    YesIfLong "what stands below is seen to first" "zuerst erledigt ist, was hier steht";
    No "No" "Nein";
    NoLong "do not mix anything: change this, and plan again" "nichts anmischen: dies ändern und neu planen";
    PlannedFor "Planned for" "Geplant für";
    Humidity "relative humidity" "relative Luftfeuchte";
    Ruin "What is most likely to ruin it" "Woran es am ehesten scheitert";
    NothingRuins "No limit is broken." "Keine Grenze ist verletzt.";
    Change "Change" "Ändern";
    NoCure "no one change puts it right" "keine einzelne Änderung behebt es";
    Proved "planned again, it is put right" "neu geplant, behoben";
    More "more below" "weitere unten";
    MoreOne "one more below" "eine weitere unten";
    Cups "Cups" "Becher";
    CupsHow "Weigh in this order, catalyst last; stir 2 min, scrape wall and bottom twice; leftovers outdoors."
            "In dieser Folge wiegen, Härter zuletzt; 2 min rühren, Wand und Boden abstreifen; Reste ins Freie.";
    Mix "mix at" "anmischen";
    EmptyBy "empty by" "leer bis";
    EmptyUnknown "gel time unknown: nobody can say by when it must be empty" "Gelierzeit unbekannt: niemand weiß, bis wann er leer sein muss";
    Goggles "goggles" "Schutzbrille";
    Drops "drops" "Tropfen";
    TooFewToDrop "do not count drops: weigh it" "nicht tropfen: wiegen";
    NotSeenByScale "the scale does not show it" "zeigt die Waage nicht an";
    ClockTitle "The clock" "Zeitplan";
    OrderNotProved "Not shown to be the best order: none that keeps every window is done before"
                   "Nicht als beste Folge gezeigt: keine, die jedes Zeitfenster einhält, ist fertig vor";
    WindowsBroken "No order keeps every window of the day; the fewest are broken, each by the least."
                  "Keine Folge hält jedes Zeitfenster ein; so wenige wie möglich sind verletzt, jedes so wenig wie möglich.";
    WindowsKeptWith "Every window is kept with" "Jedes Zeitfenster wird eingehalten mit";
    NotCured "Nothing that was tried, singly or in pairs, keeps them: cast it in parts."
             "Nichts, was einzeln oder zu zweit versucht wurde, hält sie ein: in Teilen gießen.";
    Until "until" "bis";
    ReadyFrom "ready from" "reif ab";
    AtLeast "at least" "mindestens";
    AtMost "at most" "höchstens";
    Unknown "unknown" "unbekannt";
    LessThan "less than" "weniger als";
    To "to" "bis";
    Slip "A slip of ten?" "Kommafehler?";
    CareOne "Goggles, gloves, moving air; no flame, no spark; catalyst never near acetone or promoter."
            "Schutzbrille, Handschuhe, bewegte Luft; keine Flamme, kein Funke; Härter nie an Aceton oder Beschleuniger.";
    CareTwo "The product's safety data sheet, local codes and licensed practice come before this."
            "Sicherheitsdatenblatt, örtliche Vorschriften und Fachleute gehen vor.";
    MixesNothing "The plan mixes nothing: there is no zone, insert or seam with a recipe in it."
                 "Der Plan mischt nichts an: keine Zone, kein Einsatz, keine Naht mit einem Rezept.";
    PlanSomething "give the casting a zone with its layers" "dem Guss eine Zone mit ihren Schichten geben";
    ComesOut "It comes out in" "Es gelingt in";
    OfDraws "of" "von";
    DrawsOfIt "draws of this plan" "Ziehungen dieses Plans";
    Decides "what decides most" "am meisten entscheidet";
    Clamps "clamps" "Zwingen";
    Coats "coats" "Schichten";
    Castings "castings from this mould" "Güsse aus dieser Form";
    OutOfMould "out of it at" "entformt um";
    AllDone "all is done at" "alles fertig um";
}

/// What a step is called on the clock.
pub(super) fn work(work: Work, language: Language) -> &'static str {
    match work {
        Work::Condition => language.of("measure air, resin, mould", "Luft, Harz, Form messen"),
        Work::Clean => language.of("clean and buff the mould", "Form reinigen und polieren"),
        Work::Release => language.of("release agent", "Trennmittel"),
        Work::Cut => language.of("cut glass and veil", "Glas und Vlies zuschneiden"),
        Work::GelCoat => language.of("gel coat", "Gelcoat"),
        Work::TouchTest => language.of("touch test, then back up", "Fingerprobe, dann hinterlegen"),
        Work::LayUp => language.of("lay up, roll out", "laminieren"),
        Work::Pour => language.of("pour", "vergießen"),
        Work::TrimFlange => language.of("trim the flange, fit dry", "Flansch beschneiden, trocken fügen"),
        Work::Bed => language.of("bed", "einbetten"),
        Work::Bead => language.of("lay the bead", "Raupe legen"),
        Work::Close => language.of("close, clamp, wipe", "schließen, spannen, abwischen"),
        Work::Leftover => language.of("leftovers outdoors, thin", "Reste dünn ins Freie"),
        Work::Demould => language.of("demould", "entformen"),
        Work::Trim => language.of("trim and sand", "besäumen und schleifen"),
        Work::PostCure => language.of("post-cure", "nachhärten"),
        Work::Cool => language.of("cool down in the box", "im Kasten abkühlen"),
    }
}

/// A change with which a day keeps its windows; what it comes to stands in the plan.
pub(super) fn day_change(change: &DayChange, language: Language) -> String {
    let german = match change.kind {
        ChangeKind::SmallerCups => "kleineren Bechern",
        ChangeKind::AnotherPerson => "einer Person mehr",
        ChangeKind::LongerDay => "einem längeren Arbeitstag",
        ChangeKind::CoolerResin => "kühlerem Harz",
        ChangeKind::LessCatalyst => "weniger Härter, in seinem Fenster",
    };
    language.of(change.text.clone(), german.to_owned())
}

/// How bad it is.
pub(super) fn severity(severity: Severity, language: Language) -> &'static str {
    match severity {
        Severity::Stop => language.of("stop", "Halt"),
        Severity::Warning => language.of("warning", "Warnung"),
        Severity::Advice => language.of("advice", "Hinweis"),
    }
}

/// A cause in the reader's words, by the side on which its bound is broken.
pub(super) fn cause(cause: Cause, low: bool, severity: Severity, language: Language) -> &'static str {
    match (cause, low) {
        (Cause::Temperature, true) if severity == Severity::Advice => {
            language.of("Cooler than best", "Kühler als am besten")
        }
        (Cause::Temperature, false) if severity == Severity::Advice => {
            language.of("Warmer than best", "Wärmer als am besten")
        }
        (Cause::Mount, _) => language.of(
            "What it hangs by is too weak to hang over people",
            "Die Aufhängung ist zu schwach, um über Menschen zu hängen",
        ),
        (Cause::Shape, _) => language.of("It comes out of shape", "Es verzieht sich oder zeichnet ab"),
        (Cause::Air, _) => language.of(
            "The air is not fit to breathe",
            "Die Luft ist zum Atmen nicht geeignet",
        ),
        (Cause::Release, _) => language.of("Nothing lets go of the mould", "Nichts löst sich aus der Form"),
        (Cause::NothingCures, _) => language.of("Nothing cures it", "Nichts härtet es"),
        (Cause::Thinner, _) => language.of("Thinner in the resin", "Verdünner im Harz"),
        (Cause::Temperature, true) => language.of("Too cold", "Zu kalt"),
        (Cause::Temperature, false) => language.of("Too warm", "Zu warm"),
        (Cause::Dose, true) => language.of("Too little catalyst", "Zu wenig Härter"),
        (Cause::Dose, false) => language.of("Too much catalyst", "Zu viel Härter"),
        (Cause::Measuring, _) => language.of(
            "The catalyst cannot be measured well enough",
            "Dosis zu ungenau messbar",
        ),
        (Cause::WorkingTime, _) => language.of("Too little time for a cup", "Zu wenig Zeit für einen Becher"),
        (Cause::GelTimeUnknown, _) => {
            language.of("Nobody knows when it gels", "Niemand weiß, wann es geliert")
        }
        (Cause::Heat, _) => language.of("It gets too hot", "Es wird zu heiß"),
        (Cause::Cure, _) => language.of(
            "The post-cure or the heat of use harms it",
            "Nachhärtung oder Wärme im Gebrauch schaden ihm",
        ),
        (Cause::Demoulding, _) => language.of(
            "It is pulled too early or too hard",
            "Zu früh oder zu hart entformt",
        ),
        (Cause::Filling, true) => language.of("Too little glass or filler", "Zu wenig Glas oder Füllstoff"),
        (Cause::Filling, false) => language.of(
            "Too much fibre, filler or pigment",
            "Zu viel Faser, Füllstoff oder Pigment",
        ),
        (Cause::Seam, _) => language.of("The seam does not hold", "Die Naht hält nicht"),
        (Cause::Film, true) => language.of("The gel coat is too thin", "Der Gelcoat ist zu dünn"),
        (Cause::Film, false) => language.of("The gel coat is too thick", "Der Gelcoat ist zu dick"),
        (Cause::Damp, _) => language.of("Too damp", "Zu feucht"),
        (Cause::Waiting, _) => language.of("Backed up at the wrong hour", "Zur falschen Zeit hinterlegt"),
        (Cause::TooLate, _) => language.of("Done too late", "Zu spät getan"),
        (Cause::Looks, _) => language.of("It will not look as it should", "Es sieht nicht aus, wie es soll"),
        (Cause::Nothing, _) => language.of("There is nothing to cast", "Es gibt nichts zu gießen"),
        (Cause::Other, _) => language.of("Another limit is broken", "Eine andere Grenze ist verletzt"),
    }
}

/// What to change, in German; in English the finding's own way out says it.
pub(super) fn change(cause: Cause, low: bool) -> &'static str {
    match (cause, low) {
        (Cause::Mount, _) => {
            "Klotz hinter die Schale setzen, größere Auflage, mehr Lagen; Fachkraft und zweite Sicherung"
        }
        (Cause::Shape, _) => {
            "länger in der Form, dünnerer Gelcoat, Vlies hinter dem Gelcoat, langsam nachhärten"
        }
        (Cause::Air, _) => {
            "mehr frische Luft, Absaugung an der Arbeit; Sicherheitsdatenblatt, örtliche Vorschriften und Fachleute gehen vor"
        }
        (Cause::Release, _) => "Poren versiegeln, Form und Flansche wachsen, Trennfilm darüber",
        (Cause::NothingCures, _) => "den Härter ins Rezept aufnehmen",
        (Cause::Thinner, _) => "kein Verdünner im Becher; das Harz wärmen",
        (Cause::Temperature, true) => "Raum, Form und Harz wärmen und bis zur Härtung warm halten",
        (Cause::Temperature, false) => "kühler arbeiten, kleinere Becher",
        (Cause::Dose, true) => "Dosis ins Fenster des Datenblatts bringen; eher wärmen als mehr Härter",
        (Cause::Dose, false) => {
            "Dosis ins Fenster des Datenblatts bringen; Zeit gewinnt man durch Kühle und kleine Becher"
        }
        (Cause::Measuring, _) => {
            "Tropfen einmal auf der Waage zählen, eine Spritze nehmen oder mehr anmischen"
        }
        (Cause::WorkingTime, _) => "kleinere Becher, weniger Härter im Fenster, kühler",
        (Cause::GelTimeUnknown, _) => "Gelierzeiten des Datenblatts oder zweier Probebecher eintragen",
        (Cause::Heat, _) => "dünner, in Lagen, langsamer",
        (Cause::Cure, _) => "langsam und nicht zu heiß nachhärten, nach dem Datenblatt; Wärme fernhalten",
        (Cause::Demoulding, _) => "länger warten oder wärmen, gleichmäßig keilen",
        (Cause::Filling, true) => "mehr Glas, weniger Harz",
        (Cause::Filling, false) => "weniger Faser, Füllstoff oder Pigment",
        (Cause::Seam, _) => "Paste, Raupe und Zwingenkraft anpassen",
        (Cause::Film, true) => "dicker auftragen, mit dem Nassfilmkamm prüfen",
        (Cause::Film, false) => "in zwei Schichten auftragen",
        (Cause::Damp, _) => "Luft heizen oder trocknen, Form wärmer halten als die Luft",
        (Cause::Waiting, _) => "nach der Fingerprobe hinterlegen; zu alt: anschleifen",
        (Cause::TooLate, _) => "vorher alles bereitlegen, oder langsamer einstellen",
        (Cause::Looks, _) => "dicker oder mit mehr Pigment im Fenster",
        (Cause::Nothing, _) => "dem Guss eine Zone mit ihren Schichten geben",
        (Cause::Other, _) => "siehe unten",
    }
}

/// What a lever sets, with `{of}` and `{to}` in it.
pub(super) fn lever(lever: Lever, language: Language) -> &'static str {
    match lever {
        Lever::CountedDrops => language.of(
            "count {to} drops onto the scale once",
            "einmal {to} Tropfen auf die Waage zählen",
        ),
        Lever::Syringe => language.of(
            "dose with a syringe, {to} a division",
            "mit einer Spritze dosieren, {to} je Teilstrich",
        ),
        Lever::Scale => language.of(
            "weigh on a scale that shows {to}",
            "auf einer Waage wiegen, die {to} zeigt",
        ),
        Lever::SealedPores => language.of("seal the mould's pores", "die Poren der Form versiegeln"),
        Lever::ReleaseCoats => language.of("{to} coats of {of}", "{to} Schichten {of}"),
        Lever::Clamps => language.of("{to} clamps", "{to} Zwingen"),
        Lever::ClampForce => language.of("clamps of {to} each", "Zwingen mit je {to}"),
        Lever::InMouldTime => language.of("leave it {to} in the mould", "{to} in der Form lassen"),
        Lever::MouldTemperature => language.of("bring the mould to {to}", "die Form auf {to} bringen"),
        Lever::ResinTemperature => language.of("bring the resin to {to}", "das Harz auf {to} bringen"),
        Lever::ShopTemperature => language.of(
            "bring air, mould and resin to {to}, until cured",
            "Luft, Form und Harz auf {to} bringen, bis zur Härtung",
        ),
        Lever::Humidity => language.of(
            "bring the air to {to} relative humidity",
            "die Luft auf {to} relative Feuchte bringen",
        ),
        Lever::OvenTemperature => language.of("post-cure at {to}", "bei {to} nachhärten"),
        Lever::OvenRise => language.of("let the oven rise over {to}", "den Ofen über {to} steigen lassen"),
        Lever::HeatInUse => language.of("keep it below {to} in use", "im Gebrauch unter {to} halten"),
        Lever::Coats => language.of(
            "gel coat on {of} in {to} coats, the film as thick as before",
            "Gelcoat auf {of} in {to} Schichten, der Film so dick wie zuvor",
        ),
        Lever::CoatThickness => language.of(
            "gel coat on {of}: each coat {to} wet",
            "Gelcoat auf {of}: jede Schicht {to} nass",
        ),
        Lever::PourLayers => language.of(
            "pour {of} in {to} layers, each hardened before the next",
            "{of} in {to} Lagen vergießen, jede vor der nächsten gehärtet",
        ),
        Lever::Sessions => language.of(
            "lay up {of} in {to} sessions, each cooled before the next",
            "{of} in {to} Gängen laminieren, jeder vor dem nächsten abgekühlt",
        ),
        Lever::PourThickness => language.of("pour {of} {to} thick", "{of} {to} dick vergießen"),
        Lever::BeadHeight => language.of("bead of {of} {to} high", "Raupe von {of} {to} hoch"),
        Lever::Dose => language.of("dose {of} at {to}", "{of} mit {to} dosieren"),
        Lever::Thickener | Lever::Loading | Lever::Thinner => language.of("{of}: {to}", "{of}: {to}"),
        Lever::GlassContent => language.of("{to} of glass on {of}", "{to} Glas auf {of}"),
    }
}

/// What a limit bounds, in the reader's words.
pub(super) fn bounded(quantity: LimitQuantity, language: Language) -> &'static str {
    use LimitQuantity as Q;
    let german = match quantity {
        Q::CatalystDose => "Härterdosis",
        Q::ShopTemperature => "Raumtemperatur",
        Q::MouldTemperature => "Formtemperatur",
        Q::ResinTemperature => "Harztemperatur",
        Q::AboveDewPoint => "Formfläche über dem Taupunkt",
        Q::RelativeHumidity => "relative Luftfeuchte",
        Q::GelCoatWetThickness => "Nassdicke einer Schicht Gelcoat",
        Q::GelCoatFilm => "Nassfilm des Gelcoats, alle Schichten",
        Q::PourThickness => "Dicke eines Vergusses",
        Q::SessionThickness => "Laminatdicke in einem Zug",
        Q::WallThickness => "Wanddicke",
        Q::SeamThickness => "Dicke der Naht",
        Q::SilicaLoading => "Kieselsäuregehalt",
        Q::ChopLoading => "Gehalt an Schnittfaser",
        Q::FillerLoading => "Füllstoffgehalt",
        Q::PigmentLoading => "Pigmentgehalt",
        Q::GlassContent => "Glasgehalt der Lagen einer Art",
        Q::BatchOverWorkingTime => "Verarbeitung zu Gelierzeit",
        Q::GelTime => "Gelierzeit",
        Q::DoseUncertainty => "halber 95-%-Bereich der Dosis",
        Q::BatchMass => "Bechermenge",
        Q::PeakTemperature => "Spitzentemperatur",
        Q::MouldFaceTemperature => "Temperatur der Formfläche",
        Q::TackWindow => "Zeit vom Gelcoat bis zum Hinterlegen",
        Q::GreenTrim => "Zeit vom Laminieren bis zum Beschneiden",
        Q::OpenTime => "Zeit vom Härter bis zum Spannen",
        Q::BoilingMonomer => "unreagiertes Monomer am Siedepunkt",
        Q::DemouldWait => "Zeit vom Entformen bis zur Reife",
        Q::DemouldSheet => "Zeit in der Form zur Entformzeit des Härters",
        Q::FoamGrowth => "Gas aus Wasser zum Volumen der Mischung",
        Q::OvenTemperature => "Temperatur der Nachhärtung",
        Q::OvenOverGlass => "Teil über seiner Glasübergangstemperatur",
        Q::GlassOverUse => "Glasübergang über der Wärme im Gebrauch",
        Q::DemouldCure => "Härtungsgrad beim Entformen",
        Q::EdgeStrain => "Dehnung der Kante beim Entformen",
        Q::GelCoatStrain => "Dehnung des Gelcoats",
        Q::FillerVolume => "Füllstoff nach Volumen",
        Q::ClampPressure => "Spanndruck",
        Q::SagMargin => "Fließgrenze der Paste zur Last der Raupe",
        Q::SeamSpread => "gefüllter Teil des Flansches",
        Q::SeamSqueezedOut => "ausgepresster Teil der Raupe",
        Q::DropOverScaleStep => "Tropfen zum Schritt der Waage",
        Q::ReleaseCoats => "Schichten Trennmittel",
        Q::ThinnerLoading => "Verdünner im Harz",
        Q::ContrastRatio => "Deckvermögen",
        Q::VapourInAir => "Dampf in der Luft",
        Q::LightTransmission => "Lichtdurchlass",
        Q::Bow => "Durchbiegung zur Länge",
        Q::PrintThrough => "Tiefe des Fasermusters",
        Q::ChopOverPacking => "Schnittfaser zu dem, was sich gießen lässt",
        Q::MountFactor => "Tragkraft der Aufhängung zur Last",
    };
    language.of(quantity.noun(), german)
}

/// What the plan calls a subject, in the reader's words: what it names itself; the casting's names stay.
pub(super) fn subject(text: &str, language: Language) -> String {
    if language == Language::English {
        return text.to_owned();
    }
    let whole = match text {
        "air in the shop" => "Luft im Raum",
        "mould" => "Form",
        "resin in the tin" => "Harz im Gebinde",
        "resin in the cup" => "Harz im Becher",
        "this cup" => "dieser Becher",
        _ => "",
    };
    if !whole.is_empty() {
        return whole.to_owned();
    }
    for (english, german) in [
        ("gel coat on ", "Gelcoat auf "),
        ("laminate on ", "Laminat auf "),
        ("pour on ", "Verguss auf "),
        ("cup ", "Becher "),
    ] {
        if let Some(rest) = text.strip_prefix(english) {
            return format!("{german}{rest}");
        }
    }
    text.to_owned()
}

/// What a draw of a plan leaves open, by its name in a [`Risk`](crate::risk::Risk).
pub(super) fn left_open(name: &str, language: Language) -> String {
    if language == Language::English {
        return name.to_owned();
    }
    match name {
        "thermometer" => return "Thermometer".to_owned(),
        "pace of the hands" => return "Tempo der Hände".to_owned(),
        "drop of the dropper" => return "Tropfen der Tropfflasche".to_owned(),
        "thickness of the layers" => return "Dicke der Schichten".to_owned(),
        "glass transition" => return "Glasübergang".to_owned(),
        "films in still air" => return "Wärmeübergang an ruhende Luft".to_owned(),
        _ => {}
    }
    for (before, after, german) in [
        ("dose of ", " as it is measured", "gemessene Dosis von "),
        ("cure of ", "", "Härtung von "),
        ("gel time of ", "", "Gelierzeit von "),
    ] {
        if let Some(of) = name.strip_prefix(before).and_then(|n| n.strip_suffix(after)) {
            return format!("{german}{of}");
        }
    }
    name.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_message_is_empty_or_the_same_by_mistake() {
        for q in [
            LimitQuantity::CatalystDose,
            LimitQuantity::SeamSpread,
            LimitQuantity::SeamSqueezedOut,
            LimitQuantity::DropOverScaleStep,
            LimitQuantity::ThinnerLoading,
            LimitQuantity::GelCoatFilm,
            LimitQuantity::FoamGrowth,
            LimitQuantity::DemouldSheet,
        ] {
            assert_ne!(bounded(q, Language::English), bounded(q, Language::German));
        }
        for say in [
            Say::Yes,
            Say::No,
            Say::EmptyBy,
            Say::Drops,
            Say::CupsHow,
            Say::CareTwo,
        ] {
            assert!(!say.in_(Language::German).is_empty());
            assert_ne!(say.in_(Language::English), say.in_(Language::German));
        }
        assert_eq!(
            subject("gel coat on upper body", Language::German),
            "Gelcoat auf upper body"
        );
    }
}
