//! How a trouble code is built (SAE J2012 / ISO 15031-6): what its letters and digits say before any table is asked.

/// The part of the car that the first character names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// `P`: engine and gearbox.
    Powertrain,
    /// `C`: chassis.
    Chassis,
    /// `B`: body.
    Body,
    /// `U`: the wires between modules.
    Network,
}

/// Who gives the code its meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    /// The standard: it means the same on every make.
    Standard,
    /// The maker: only the maker's manual says what it means.
    Maker,
    /// Kept back by the standard.
    Reserved,
}

/// A trouble code taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Structure {
    /// Part of the car.
    pub part: Part,
    /// Who gives it its meaning.
    pub owner: Owner,
    /// The subsystem's digit: the third character.
    pub subsystem: u8,
    /// The two bytes that a reader gets for it.
    pub bytes: [u8; 2],
}

impl Structure {
    /// Takes a code such as `P0303` apart; `None` for what is no code. Small letters count as capitals.
    #[must_use]
    pub fn of(code: &str) -> Option<Self> {
        let mut characters = code.trim().chars();
        let top: u8 = match characters.next()?.to_ascii_uppercase() {
            'P' => 0,
            'C' => 1,
            'B' => 2,
            'U' => 3,
            _ => return None,
        };
        let mut digit = || u8::try_from(characters.next()?.to_digit(16)?).ok();
        let [kind, rest @ ..] = [digit()?, digit()?, digit()?, digit()?];
        if kind > 3 || characters.next().is_some() {
            return None;
        }
        Self::taken_apart(top, kind, rest)
    }

    /// The code that two bytes of a reader's answer stand for; `None` for two zero bytes, which pad the answer.
    #[must_use]
    pub fn of_bytes(bytes: [u8; 2]) -> Option<Self> {
        let [first, second] = bytes;
        Self::taken_apart(
            first >> 6,
            (first >> 4) & 3,
            [first & 15, second >> 4, second & 15],
        )
    }

    fn taken_apart(top: u8, kind: u8, rest: [u8; 3]) -> Option<Self> {
        let [subsystem, third, fourth] = rest;
        let part = match top {
            0 => Part::Powertrain,
            1 => Part::Chassis,
            2 => Part::Body,
            _ => Part::Network,
        };
        let bytes = [(top << 6) | (kind << 4) | subsystem, (third << 4) | fourth];
        (bytes != [0, 0]).then_some(Self {
            part,
            owner: owner(part, kind, subsystem),
            subsystem,
            bytes,
        })
    }

    /// The code as written.
    #[must_use]
    pub fn written(self) -> String {
        let letter = match self.part {
            Part::Powertrain => 'P',
            Part::Chassis => 'C',
            Part::Body => 'B',
            Part::Network => 'U',
        };
        let [first, second] = self.bytes;
        format!("{letter}{}{:X}{second:02X}", (first >> 4) & 3, first & 15)
    }

    /// What the third character of a powertrain code names, in words; empty for other codes.
    #[must_use]
    pub fn subsystem_words(self) -> &'static str {
        if self.part != Part::Powertrain {
            return "";
        }
        match self.subsystem {
            0 => "fuel, air and added emission controls",
            1 => "fuel and air",
            2 => "fuel and air, injectors",
            3 => "ignition, misfire",
            4 => "emission controls",
            5 => "speed, idle, other inputs",
            6 => "computer and its outputs",
            7..=9 => "gearbox",
            10..=12 => "hybrid drive",
            _ => "",
        }
    }
}

/// P0, P2 and P34 to P3F are the standard's, as are B0, C0 and U0; P1 and P30 to P33, B1, B2 and so on are the makers'.
fn owner(part: Part, kind: u8, subsystem: u8) -> Owner {
    match (part, kind) {
        (_, 0) | (Part::Powertrain, 2) => Owner::Standard,
        (Part::Powertrain, 3) if subsystem >= 4 => Owner::Standard,
        (Part::Powertrain, _) | (_, 1 | 2) => Owner::Maker,
        _ => Owner::Reserved,
    }
}
