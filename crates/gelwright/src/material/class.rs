//! What each kind of material has that the others have not.

use crate::noun::Noun;

use super::fact::{GelTimes, SheetPotLife, Window, class_data, words};
use crate::quantity::{
    ArealMassDensity, AvailableEnergy, DegreeOfCure, DynamicViscosity, Index, Length, MassDensity,
    MassFraction, MolarEnergy, MolarMass, PartsByVolume, Phr, Pressure, SpecificHeatCapacity, Strain,
    SurfaceTension, TemperatureCoefficient, ThermalConductivity, ThermodynamicTemperature, Time,
    VolumeFraction,
};
use crate::source::Property;

words! {
    /// The chemistry of a resin, and whether it is meant as the visible coat.
    Family {
        /// Orthophthalic unsaturated polyester laminating resin.
        OrthoPolyester "ortho_polyester",
        /// Isophthalic unsaturated polyester laminating resin.
        IsoPolyester "iso_polyester",
        /// Unsaturated polyester resin for clear castings.
        CastingPolyester "casting_polyester",
        /// Epoxy vinyl ester resin.
        VinylEster "vinyl_ester",
        /// Polyester gel coat.
        GelCoat "gel_coat",
        /// Epoxy resin.
        Epoxy "epoxy",
        /// The polyol part of a polyurethane.
        Polyol "polyol",
    }
}

impl Family {
    /// Whether it cures by a peroxide (unsaturated polyester, vinyl ester), not by a measured hardener.
    pub const fn cures_by_peroxide(self) -> bool {
        !matches!(self, Family::Epoxy | Family::Polyol)
    }
}

class_data! {
    /// Usual constants of the cure of a resin by a peroxide and a promoter: where a fit starts, and how far it may go,
    /// when nothing measured says better.
    ///
    /// In the words of [`cure::kinetics::FreeRadical`](crate::cure::kinetics::FreeRadical).
    PeroxideCure {
        required {}
        optional {
            /// Activation energy of the decomposition of the initiator by the promoter.
            decomposition_energy: Property<MolarEnergy>,
            /// Activation energy of its decomposition by heat alone.
            thermal_decomposition_energy: Property<MolarEnergy>,
            /// Activation energy of propagation.
            propagation_energy: Property<MolarEnergy>,
            /// Conversion of the double bonds at gel.
            gel_conversion: Property<DegreeOfCure>,
            /// Share of a usual dose of initiator that the inhibitor takes (0 to 1).
            inhibitor_share: Property<Index>,
            /// Order of the decomposition in the promoter.
            promoter_order: Property<Index>,
        }
        lists {}
    }
}

class_data! {
    /// A resin: what is poured or laid up, before its initiator or hardener is added.
    ///
    /// Liquid properties are at 23 to 25 °C unless the source's locator says otherwise; "cured" ones are of the
    /// neat resin after post-cure.
    Resin {
        required {
            /// Its chemistry.
            family: Family,
        }
        optional {
            /// Viscosity of the liquid at 25 °C (of a thixotropic one: at the shear its source's locator states).
            viscosity: Property<DynamicViscosity>,
            /// Apparent viscosity at a tenth of the shear rate over that at the full one.
            thixotropic_index: Property<Index>,
            /// Surface tension of the liquid.
            surface_tension: Property<SurfaceTension>,
            /// Styrene as a mass fraction of the resin as supplied.
            styrene: Property<MassFraction>,
            /// Mass of its polyester or vinyl ester, without styrene and solids, per carbon-carbon double bond.
            mass_per_double_bond: Property<MolarMass>,
            /// Pigment and filler as a mass fraction of the resin as supplied (an opaque gel coat).
            solids: Property<MassFraction>,
            /// Whether a promoter is already in it, as supplied.
            promoted: bool,
            /// Whether it seals itself against the air with wax, so that its open face cures hard.
            waxed: bool,
            /// Epoxide equivalent mass, in grams per equivalent (`g/mol` of epoxide).
            epoxide_equivalent: Property<MolarMass>,
            /// Hydroxyl number, in mg KOH per g.
            hydroxyl_number: Property<Index>,
            /// Water in it, as supplied.
            water: Property<MassFraction>,
            /// Density of the cured neat resin.
            cured_density: Property<MassDensity>,
            /// Volume shrinkage on cure, of the liquid's volume.
            shrinkage: Property<VolumeFraction>,
            /// Heat given off by full cure, per mass of the resin as supplied, its own solids counted; of an epoxy or a polyol
            /// mixed with its hardener. Fillers and fibres added to it are not counted. From the chemistry:
            /// [`HeatOfReaction`](crate::mix::HeatOfReaction).
            heat_of_reaction: Property<AvailableEnergy>,
            /// Specific heat capacity.
            specific_heat: Property<SpecificHeatCapacity>,
            /// Thermal conductivity of the cured neat resin.
            conductivity: Property<ThermalConductivity>,
            /// Linear thermal expansion of the cured neat resin.
            thermal_expansion: Property<TemperatureCoefficient>,
            /// Glass transition temperature after post-cure.
            glass_transition: Property<ThermodynamicTemperature>,
            /// Glass transition temperature of the liquid resin, before any cure.
            uncured_glass_transition: Property<ThermodynamicTemperature>,
            /// Ratio of the heat-capacity steps at the glass transition, cured over uncured: how it climbs with cure
            /// (DiBenedetto).
            glass_transition_lambda: Property<Index>,
            /// Temperature of deflection under load (1.8 MPa) after post-cure.
            deflection_temperature: Property<ThermodynamicTemperature>,
            /// Tensile modulus, cured.
            modulus: Property<Pressure>,
            /// Tensile strength, cured.
            strength: Property<Pressure>,
            /// Tensile elongation at break, cured.
            elongation: Property<Strain>,
            /// Poisson's ratio, cured.
            poisson_ratio: Property<Index>,
            /// Barcol hardness, cured.
            barcol: Property<Index>,
            /// Refractive index, cured.
            refractive_index: Property<Index>,
            /// Gel times by temperature and dose.
            gel_times: GelTimes,
            /// Usual constants of its cure by a peroxide.
            peroxide_cure: PeroxideCure,
        }
        lists {
            /// Permitted dose of initiator solution, by mass on the resin. Sources conflict: see
            /// [`that_count`](super::that_count).
            dose_window: Window<Phr>,
            /// Wet film of a coat.
            wet_film: Window<Length>,
            /// Depth of a single pour.
            pour_depth: Window<Length>,
            /// When the next layer may follow, counted from the end of this one.
            lay_up_window: Window<Time>,
        }
    }
}

class_data! {
    /// An organic peroxide solution that starts the cure of a polyester or vinyl ester.
    Initiator {
        required {
            /// The peroxide in it ("methyl ethyl ketone peroxide").
            peroxide: String,
        }
        optional {
            /// Active oxygen, as a mass fraction of the solution as supplied.
            active_oxygen: Property<MassFraction>,
            /// Peroxide content, as a mass fraction of the solution as supplied.
            peroxide_content: Property<MassFraction>,
            /// What it is diluted with.
            diluent: String,
            /// Viscosity.
            viscosity: Property<DynamicViscosity>,
            /// Surface tension.
            surface_tension: Property<SurfaceTension>,
            /// Self-accelerating decomposition temperature, in its package.
            self_accelerating_decomposition: Property<ThermodynamicTemperature>,
            /// Flash point.
            flash_point: Property<ThermodynamicTemperature>,
        }
        lists {}
    }
}

class_data! {
    /// A promoter (accelerator): a metal salt or an amine that lets a peroxide work at room temperature.
    Promoter {
        required {
            /// What acts in it ("cobalt", "N,N-dimethylaniline").
            acts_by: String,
        }
        optional {
            /// Metal, as a mass fraction of the solution as supplied.
            metal: Property<MassFraction>,
            /// Viscosity.
            viscosity: Property<DynamicViscosity>,
            /// Flash point.
            flash_point: Property<ThermodynamicTemperature>,
        }
        lists {
            /// Usual dose, by mass on the resin.
            dose_window: Window<Phr>,
        }
    }
}

class_data! {
    /// The second part of an epoxy or a polyurethane.
    Hardener {
        required {
            /// The resin it belongs to, a material id.
            resin: String,
        }
        optional {
            /// Amine hydrogen equivalent mass, in grams per equivalent.
            amine_hydrogen_equivalent: Property<MolarMass>,
            /// Isocyanate (NCO) content.
            isocyanate_content: Property<MassFraction>,
            /// Viscosity.
            viscosity: Property<DynamicViscosity>,
            /// Flash point.
            flash_point: Property<ThermodynamicTemperature>,
            /// Time to demould.
            demould: Property<Time>,
        }
        lists {
            /// Mix ratio by mass, parts on a hundred of the resin.
            mix_by_mass: Property<Phr>,
            /// Mix ratio by volume, on the volume of the resin.
            mix_by_volume: Property<PartsByVolume>,
            /// Permitted error of the mix ratio: parts by mass on a hundred of the resin.
            mix_window: Window<Phr>,
            /// How long a mixed cup stays usable.
            pot_life: SheetPotLife,
        }
    }
}

words! {
    /// The shape of a filler's particle.
    ParticleShape {
        /// Compact grains or powder.
        Grain "grain",
        /// Plates.
        Plate "plate",
        /// Hollow spheres.
        HollowSphere "hollow_sphere",
        /// Aggregated fume.
        Fume "fume",
        /// Short fibres.
        Fibre "fibre",
    }
}

class_data! {
    /// A filler, a thickener or chopped fibre: what is stirred into the resin.
    ///
    /// The material's `density` is that of the particle, not of the heap.
    Filler {
        required {
            /// Shape of the particle.
            shape: ParticleShape,
        }
        optional {
            /// Whether it is used to thicken (a gel network), not to fill.
            thickener: bool,
            /// Density of the loose heap.
            bulk_density: Property<MassDensity>,
            /// Largest volume fraction the particles can pack to at random.
            max_packing: Property<VolumeFraction>,
            /// Oil absorption: grams of linseed oil on 100 g of filler.
            oil_absorption: Property<Phr>,
            /// Median particle size.
            particle_size: Property<Length>,
            /// Length of the fibre.
            fibre_length: Property<Length>,
            /// Diameter of the fibre.
            fibre_diameter: Property<Length>,
            /// Refractive index.
            refractive_index: Property<Index>,
            /// Specific heat capacity.
            specific_heat: Property<SpecificHeatCapacity>,
            /// Thermal conductivity of the particle.
            conductivity: Property<ThermalConductivity>,
            /// Modulus of the fibre or particle.
            modulus: Property<Pressure>,
            /// Tensile strength of the fibre.
            strength: Property<Pressure>,
            /// Moisture, as supplied.
            moisture: Property<MassFraction>,
            /// Temperature above which it decomposes or collapses.
            max_temperature: Property<ThermodynamicTemperature>,
        }
        lists {
            /// Loadings by purpose, by mass on the resin.
            loading: Window<Phr>,
        }
    }
}

words! {
    /// The form of a reinforcement.
    AreaReinforcementForm {
        /// Chopped strand mat.
        ChoppedStrandMat "chopped_strand_mat",
        /// Woven cloth.
        WovenCloth "woven_cloth",
        /// Woven roving.
        WovenRoving "woven_roving",
        /// Surfacing veil (tissue).
        Veil "veil",
    }
}

class_data! {
    /// A reinforcement sold by the area. The material's `density` is that of the fibre.
    AreaReinforcement {
        required {
            /// Mat, cloth, roving or veil.
            form: AreaReinforcementForm,
            /// Mass of dry reinforcement per area.
            areal_mass: Property<ArealMassDensity>,
        }
        optional {
            /// What binds the strands of a mat, which decides what dissolves it.
            binder: String,
            /// Thickness of the dry reinforcement.
            thickness: Property<Length>,
            /// Diameter of the filament.
            fibre_diameter: Property<Length>,
            /// Modulus of the fibre.
            fibre_modulus: Property<Pressure>,
            /// Tensile strength of the fibre.
            fibre_strength: Property<Pressure>,
            /// Poisson's ratio of the fibre.
            poisson_ratio: Property<Index>,
            /// Refractive index of the fibre.
            refractive_index: Property<Index>,
            /// Specific heat capacity of the fibre.
            specific_heat: Property<SpecificHeatCapacity>,
            /// Thermal conductivity of the fibre.
            conductivity: Property<ThermalConductivity>,
            /// Linear thermal expansion of the fibre.
            thermal_expansion: Property<TemperatureCoefficient>,
        }
        lists {
            /// Glass content of a hand lay-up, as a mass fraction of the laminate. Sources conflict: see
            /// [`that_count`](super::that_count).
            glass_content: Property<MassFraction>,
        }
    }
}

class_data! {
    /// Pigment ground in a carrier.
    Pigment {
        required {}
        optional {
            /// Pigment, as a mass fraction of the paste.
            pigment_content: Property<MassFraction>,
            /// Carrier that takes no part in the cure, as a mass fraction of the paste.
            inert_carrier: Property<MassFraction>,
            /// Refractive index of the pigment.
            refractive_index: Property<Index>,
            /// Density of the pigment itself.
            pigment_density: Property<MassDensity>,
        }
        lists {
            /// Permitted loading, by mass on the resin. Sources conflict.
            loading: Window<Phr>,
        }
    }
}

words! {
    /// How a release agent works.
    ReleaseKind {
        /// A hard wax, buffed.
        Wax "wax",
        /// A film of polyvinyl alcohol from solution.
        FilmForming "pva_film",
    }
}

class_data! {
    /// A release agent.
    Release {
        required {
            /// How it works.
            kind: ReleaseKind,
        }
        optional {
            /// Temperature above which it fails.
            max_temperature: Property<ThermodynamicTemperature>,
            /// Flash point.
            flash_point: Property<ThermodynamicTemperature>,
        }
        lists {
            /// Number of coats.
            coats: Window<Index>,
            /// Time between coats.
            interval: Window<Time>,
            /// Drying time before the first resin.
            drying: Window<Time>,
            /// Wet film of a coat.
            wet_film: Window<Length>,
            /// Amount used per area and coat.
            coverage: Window<ArealMassDensity>,
        }
    }
}

class_data! {
    /// What a mould wall is made of, as heat and the casting see it.
    MouldWall {
        required {}
        optional {
            /// Thermal conductivity.
            conductivity: Property<ThermalConductivity>,
            /// Specific heat capacity.
            specific_heat: Property<SpecificHeatCapacity>,
            /// Linear thermal expansion.
            thermal_expansion: Property<TemperatureCoefficient>,
            /// Whether it is porous and must be sealed.
            porous: bool,
        }
        lists {
            /// Temperature it bears.
            temperature: Window<ThermodynamicTemperature>,
            /// Usual thickness.
            thickness: Window<Length>,
        }
    }
}

class_data! {
    /// A solvent, a thinner or a reactive monomer.
    Solvent {
        required {}
        optional {
            /// Whether it takes part in the cure (a reactive monomer such as styrene); what does not leaves the film.
            reactive: bool,
            /// Molar mass.
            molar_mass: Property<MolarMass>,
            /// Boiling point at 1 atm.
            boiling_point: Property<ThermodynamicTemperature>,
            /// Vapour pressure at 20 °C.
            vapour_pressure: Property<Pressure>,
            /// Flash point.
            flash_point: Property<ThermodynamicTemperature>,
            /// Lower explosive limit of its vapour in air.
            lower_explosive_limit: Property<VolumeFraction>,
            /// Upper explosive limit of its vapour in air.
            upper_explosive_limit: Property<VolumeFraction>,
            /// Autoignition temperature.
            autoignition: Property<ThermodynamicTemperature>,
            /// Viscosity at 25 °C.
            viscosity: Property<DynamicViscosity>,
            /// Surface tension at 20 °C.
            surface_tension: Property<SurfaceTension>,
            /// Refractive index at 20 °C.
            refractive_index: Property<Index>,
        }
        lists {}
    }
}
