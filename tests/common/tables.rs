//! Small invented tables, with the shape of the real ones.

use serde_json::{Value, json};
use wrenchworth::trade::*;

fn rows<T: serde::de::DeserializeOwned>(rows: Vec<Value>) -> Vec<T> {
    rows.into_iter()
        .map(|row| serde_json::from_value(row).expect("a row of the table's shape"))
        .collect()
}

fn sign(id: &str, kind: &str, name: &str, levels: &[&str], called: &[&str]) -> Value {
    json!({
        "id": id, "kind": kind, "name": name, "stage": "cabin", "order": 1,
        "question": format!("{name}: what is it?"), "how": "Look, listen, count to ten.", "levels": levels,
        "also_called": called, "seconds": 60, "ordinary_visit": true,
        "source": "invented for tests", "as_of": "2026-09"
    })
}

fn signs() -> Vec<SignRow> {
    let mut pedal = sign(
        "brake-pedal",
        "check",
        "brake pedal, held",
        &[
            "high, firm, stays put",
            "spongy",
            "hard",
            "sinks while held",
        ],
        &["soft brakes"],
    );
    pedal["stop"] = json!({"from_level": 3, "group": "brakes", "sentence": "Brake pedal sinks while held. Do not drive it."});
    let mut all = vec![
        pedal,
        sign(
            "cold-rattle",
            "symptom",
            "first five seconds, engine cold",
            &[
                "quiet",
                "rattle, gone in 2 seconds",
                "rattle for longer",
                "knock that stays",
            ],
            &["rattle when cold", "chain noise"],
        ),
        sign(
            "front-tires",
            "check",
            "front tires, date marks",
            &["under ten years", "ten years or more"],
            &["tires dry"],
        ),
        sign(
            "idle-hunts",
            "symptom",
            "idle hunts or dips, warm",
            &["steady", "hunts"],
            &["rough idle", "surges"],
        ),
        sign(
            "loose-shield",
            "symptom",
            "tinny rattle, any speed",
            &["none", "tinny"],
            &["heat shield"],
        ),
        sign(
            "p0171",
            "code",
            "mixture lean, bank 1",
            &["not there", "stored, lamp on", "pending"],
            &["lean"],
        ),
        sign(
            "title",
            "paper",
            "title in the seller’s name",
            &["yes, ID seen", "no"],
            &["pink slip"],
        ),
        sign(
            "says-leaks",
            "admission",
            "they say it leaks",
            &["no", "a little", "a lot"],
            &["oil leak"],
        ),
    ];
    all.sort_by_key(|row| row["id"].as_str().unwrap_or("").to_owned());
    rows(all)
}

fn fault(id: &str, name: &str, system: &str) -> Value {
    json!({
        "id": id, "name": name, "system": system, "where": "front", "prior": 0.1, "miles_exponent": 1.0, "age_exponent": 1.0,
        "owner_sees": 0.5, "repairs": ["fix"], "severities": ["worsens"], "source": "invented for tests", "as_of": "2026-09"
    })
}

fn purpose(id: &str, name: &str, stops: &[&str]) -> Value {
    json!({
        "id": id, "name": name, "must_right": ["unsafe", "strands", "worsens"], "horizon_miles": 10000.0,
        "drops": {"worsens": 0.5, "annoys": 0.3, "looks": 0.2}, "margin": {"share_of_worth": 0.1, "least": 150.0},
        "confidence": 0.7, "hour_value": 12.0, "stops": stops, "worth_means": "ordinary",
        "source": "invented for tests", "as_of": "2026-09"
    })
}

fn tool(id: &str, name: &str, buy: Option<[i64; 3]>) -> Value {
    json!({"id": id, "name": name, "buy": buy, "source": "invented for tests", "as_of": "2026-09"})
}

/// The tables.
pub fn tables() -> Tables {
    let settings = include_str!("../../assets/trade/settings.json");
    let mut settings: settings::Settings = serde_json::from_str(settings).expect("settings");
    settings.gates.clear();
    settings.quick_list = signs().iter().map(|row| row.id.clone()).collect();
    Tables {
        faults: rows(vec![fault("ENG07", "timing chain or guides", "engine")]),
        repairs: Vec::new(),
        operations: Vec::new(),
        signs: signs(),
        codes: Vec::new(),
        weak_spots: Vec::new(),
        limits: Vec::new(),
        tools: rows(vec![
            tool("code-reader", "code reader, live data", None),
            tool(
                "compression-tester",
                "compression tester",
                Some([25, 30, 45]),
            ),
            tool("jack-and-stands", "jack and two stands", None),
            tool("locking-set", "cam locking set", Some([40, 60, 80])),
            tool("multimeter", "multimeter", None),
            tool("torque-wrench", "torque wrench, 10 to 150", None),
        ]),
        cautions: Vec::new(),
        sellables: Vec::new(),
        purposes: rows(vec![
            purpose("capped-race", "capped race", &["structure"]),
            purpose("daily", "daily driver", &["brakes", "paper", "flood"]),
            purpose("project", "project", &["paper"]),
        ]),
        settings,
    }
}
