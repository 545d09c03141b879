//! What kind of car it is: the facts that decide which rows of the tables apply.

use serde::{Deserialize, Serialize};

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal => $shown:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$vdoc])* $variant,)+ }

        impl $name {
            /// Every value, in the order shown to the user.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The word in files.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)+ }
            }

            /// The words on screen.
            #[must_use]
            pub fn shown(self) -> &'static str {
                match self { $(Self::$variant => $shown,)+ }
            }
        }
    };
}

words! {
    /// System of the car; the buyer's skill is held by system.
    System {
        /// Engine, its oil and its timing.
        Engine = "engine" => "engine",
        /// Fuel, air, ignition, exhaust and their sensors.
        Fuel = "fuel" => "fuel, ignition",
        /// Cooling.
        Cooling = "cooling" => "cooling",
        /// Gearbox, clutch, driveshafts, final drive.
        Gearbox = "gearbox" => "gearbox, clutch",
        /// Brakes.
        Brakes = "brakes" => "brakes",
        /// Steering, suspension, wheels, tires.
        Suspension = "suspension" => "steering, springs",
        /// Battery, charging, wiring, lamps, air bags.
        Electrics = "electrics" => "electrics",
        /// Body, structure, glass, trim, papers that belong to the shell.
        Body = "body" => "body, rust",
        /// Heating and air conditioning.
        Heating = "heating" => "heating, AC",
    }
}

words! {
    /// What it burns.
    Fuel {
        /// Petrol (gasoline).
        Petrol = "petrol" => "gas",
        /// Diesel.
        Diesel = "diesel" => "diesel",
    }
}

words! {
    /// Kind of gearbox.
    Gearbox {
        /// Manual.
        Manual = "manual" => "manual",
        /// Automatic with a torque converter.
        Automatic = "automatic" => "automatic",
        /// Continuously variable.
        Cvt = "cvt" => "CVT",
    }
}

words! {
    /// Driven wheels.
    Drive {
        /// Front.
        Front = "front" => "front wheels",
        /// Rear.
        Rear = "rear" => "rear wheels",
        /// All four.
        All = "all" => "all wheels",
    }
}

words! {
    /// What drives the camshafts.
    TimingDrive {
        /// Toothed belt.
        Belt = "belt" => "belt",
        /// Chain.
        Chain = "chain" => "chain",
    }
}

words! {
    /// Power steering.
    Steering {
        /// Hydraulic.
        Hydraulic = "hydraulic" => "hydraulic",
        /// Electric.
        Electric = "electric" => "electric",
    }
}

words! {
    /// Class of car: multiplies parts and hours.
    SizeClass {
        /// Small.
        Small = "small" => "small",
        /// Mid-size: the tables' own.
        Mid = "mid" => "mid-size",
        /// Large.
        Large = "large" => "large",
        /// Light truck or van.
        Truck = "truck" => "light truck, van",
        /// Premium make.
        Premium = "premium" => "premium",
        /// Exotic.
        Exotic = "exotic" => "exotic",
    }
}

words! {
    /// Winters on salted roads.
    SaltWinters {
        /// None.
        None = "none" => "none",
        /// Some.
        Some = "some" => "some",
        /// Many.
        Many = "many" => "many",
    }
}
