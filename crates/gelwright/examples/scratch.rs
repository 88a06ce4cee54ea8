use gelwright::door;
use std::time::Instant;
fn main() {
    let demo = std::fs::read_to_string("crates/gelwright/demo/moth_lantern.toml").unwrap();
    let c = gelwright::plan::Casting::from_toml(&demo).unwrap();
    let mut v = gelwright::noun::to_value(&c).unwrap();
    let t = Instant::now();
    let a = door::ask("plan.make", &v.to_string()).unwrap();
    println!("plain {:?} {} bytes", t.elapsed(), a.len());
    let t = Instant::now();
    for _ in 0..20 { let _: gelwright::plan::Casting = gelwright::noun::read(&v).unwrap(); }
    println!("read {:?}", t.elapsed()/20);
    v["shop"]["temperature"] = "17 +/- 1 degC".into();
    let t = Instant::now();
    let b = door::ask("plan.make", &v.to_string()).unwrap();
    println!("spread {:?} {} bytes", t.elapsed(), b.len());
    let b: serde_json::Value = serde_json::from_str(&b).unwrap();
    println!("{}", serde_json::to_string_pretty(&b["band"]).unwrap().chars().take(6000).collect::<String>());
    println!("numbers {}", b["band"]["numbers"].as_array().unwrap().len());
    for n in b["band"]["numbers"].as_array().unwrap() { println!("{} {} u {} [{} {}] {} {} {:?}", n["path"], n["value"], n["standard_uncertainty"], n["low"], n["high"], n["straightness"], n["settled"], n["absent"]); }
}
