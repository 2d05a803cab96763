//! The document's figures, held against the run's.

use serde_json::Value;

/// Words of the document with single spaces.
pub fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Text of a page of HTML, without tags.
pub fn plain(html: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for letter in html.chars() {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            letter if !inside => out.push(letter),
            _ => {}
        }
    }
    let text = out.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'");
    words(&text.replace("&amp;", "&")).replace('\u{a0}', " ")
}

/// Every headline that the document must show, as it must be written there.
pub fn figures(json: &Value) -> Vec<String> {
    let number = |pointer: &str| json.pointer(pointer).unwrap().as_f64();
    let mut list = vec![
        json["answer"].as_str().unwrap().to_owned(),
        format!(
            "{} of {} with stock",
            json["shortfall_days"].as_u64().unwrap(),
            json["stock_days"].as_u64().unwrap()
        ),
        format!("{}, at most {} in a row", json["dry_hours"], json["longest_dry_hours"]),
    ];
    // There is none without stock, and less than all is not rounded up to it.
    for pointer in ["/days_served_percent", "/volume_served_percent"] {
        let shown = |share: f64| if share < 100.0 { share.min(99.99) } else { share };
        list.extend(number(pointer).map(|share| format!("{:.2} %", shown(share))));
    }
    for pointer in
        ["/full_tank_autonomy_days/worst", "/rule_sheet_storage_days", "/autonomy_in_service_days/min"]
    {
        list.extend(number(pointer).map(|days| format!("{days:.1} days")));
    }
    if let (Some(p05), Some(median)) =
        (number("/autonomy_in_service_days/p05"), number("/autonomy_in_service_days/median"))
    {
        list.push(format!("5th percentile {p05:.1}, median {median:.1}"));
    }
    if let (Some(low), Some(high)) =
        (number("/start_power_ends/zero_days"), number("/start_power_ends/best_line_days"))
    {
        // Days a year: whole where the record is one, or a part of one.
        let years = number("/years_in_record").unwrap_or(1.0);
        let a_year = |days: f64| {
            let a_year = days / years;
            if a_year.fract().abs() < 1e-9 { format!("{a_year:.0}") } else { format!("{a_year:.1}") }
        };
        let by_voltage =
            json["values"].as_array().unwrap().iter().any(|value| value["key"] == "pump.flow_by_voltage");
        let ends = if by_voltage {
            ["takes as much flow at any voltage", "flow in proportion to voltage"]
        } else {
            ["below the table's lowest power", "hydraulic minimum below it"]
        };
        list.push(format!("{} {}", ends[0], a_year(low)));
        list.push(format!("{} {}", ends[1], a_year(high)));
    }
    list.extend(json["warnings"].as_array().unwrap().iter().map(|w| w.as_str().unwrap().to_owned()));
    let sheet = &json["worksheet"];
    // There is none where the scheme does not run in full sun.
    list.extend(sheet["peak_sun_hours"].as_f64().map(|hours| format!("{hours:.2} peak sun hours")));
    let slowest: Option<Vec<u64>> =
        sheet["refill_days"].as_array().and_then(|days| days.iter().map(Value::as_u64).collect());
    list.extend(slowest.map(|days| format!("at most {} days (empty on", days.into_iter().max().unwrap())));
    for month in json["months"].as_array().unwrap() {
        // A part of a year lacks months.
        list.extend(month["plane_kwh_per_m2_day"].as_f64().map(|sun| format!("{sun:.2}")));
    }
    list
}
