//! All tests of the library and the command line in one program: one build, one run. Screens, reports and the kill test stand apart:
//! the first two keep pictures under their own names, the third starts itself again.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "architecture/source.rs"]
mod architecture_source;
mod diagnosis_kit;
#[path = "support/made.rs"]
mod made;
mod mini;
mod place;
#[path = "support/strategies.rs"]
mod strategies;
mod tables_kit;
mod three_models;

mod architecture;
mod bad_input;
mod cli;
mod cli_letter;
mod cli_reports;
mod codes;
mod diagnosis_brute;
mod diagnosis_draws;
mod diagnosis_known;
mod diagnosis_on_file;
mod diagnosis_properties;
mod diagnosis_tables;
mod engine_adding_up;
mod engine_costs;
mod engine_find_out;
mod engine_floor;
mod engine_house_rules;
mod engine_known_age;
mod engine_ladder;
mod engine_offer;
mod engine_pace;
mod engine_pert;
mod engine_properties;
mod engine_routes;
mod engine_shrunk;
mod engine_side;
mod engine_talks;
mod engine_trade_facts;
mod engine_triangle;
mod engine_two_prices;
mod engine_widening;
mod engine_worth;
mod engine_worth_on_data;
mod findings_told;
mod papers;
mod readings;
mod samples;
mod store_care;
mod store_load;
mod store_notebook;
mod tables;
mod tables_alive;
mod tables_alive_settings;
mod tables_codes;
mod tables_lives;
mod tables_overlays;
mod tables_own;
mod tables_rules;
mod tables_sane;
mod walkaround;
