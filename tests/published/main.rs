//! Checks against the outside: one file a topic, the source beside each expected value.
#![allow(clippy::unwrap_used)]
mod batch;
mod cure_gel;
mod cure_independent;
mod flow_drain;
mod flow_paste;
mod flow_squeeze;
mod flow_viscosity;
mod heat_conduction;
mod heat_critical;
mod heat_cup;
mod heat_cure;
mod heat_reference;
mod laminate_contents;
mod laminate_edge;
mod laminate_micro;
mod laminate_theory;
mod light_hiding;
mod light_translucency;
mod material_data;
mod mix_drops;
mod mix_filler;
mod mix_measurement;
mod mix_peroxide;
mod mix_stoichiometry;
mod plan;
mod units;
