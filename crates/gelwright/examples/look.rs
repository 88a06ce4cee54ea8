fn main() {
    for name in ["moth_lantern", "moth_lantern_careless"] {
        let text = std::fs::read_to_string(format!("crates/gelwright/demo/{name}.toml")).unwrap();
        let casting = gelwright::plan::Casting::from_toml(&text).unwrap();
        let t = std::time::Instant::now();
        let plan = casting.plan(gelwright::Cancel::NEVER).unwrap();
        println!("{name} {:?}", t.elapsed());
        for b in &plan.batches {
            println!(
                "{} {} gel {:?} use_by {:?} {:#?}",
                b.name,
                b.recipe,
                b.gel_time.as_ref().map(|g| (g.time, g.low, g.high)),
                b.use_by,
                b.left_standing
            );
        }
        for z in &plan.zones {
            println!(
                "{} {:?}",
                z.zone,
                z.exotherm
                    .as_ref()
                    .map(|e| (e.peak, e.peak_at, e.gelled, e.basis.clone()))
            );
        }
        let t = std::time::Instant::now();
        casting.plan(gelwright::Cancel::NEVER).unwrap();
        println!("{name} again {:?}", t.elapsed());
    }
}
