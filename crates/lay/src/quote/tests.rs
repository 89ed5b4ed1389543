//! Sums of a quote, tried.

use proptest::prelude::*;

use super::*;

fn exact(text: &str) -> Exact {
    Exact::read(text).unwrap()
}

fn usd(text: &str) -> Money {
    Money::read(&format!("{text} USD")).unwrap()
}

fn goods(kind: Kind, words: &str, amount: &str, each: &str) -> Goods {
    Goods {
        kind,
        words: words.into(),
        amount: exact(amount),
        count: Count::Yard,
        each: usd(each),
        hers: false,
    }
}

fn work(stage: Stage, times: u32, hours: &str, rate: &str) -> Work {
    Work {
        stage,
        times,
        hours: exact(hours),
        rate: usd(rate),
    }
}

fn half_and_rest() -> Vec<Part> {
    vec![Part {
        words: "With the order".into(),
        share: Share::Percent(exact("50")),
    }]
}

/// W13 of the worked examples, `trade/worked-examples.md`; a script of its own there asserts its sums.
fn w13() -> Asked {
    Asked {
        currency: "USD".into(),
        goods: vec![
            goods(Kind::Cloth, "cloth", "5.0", "28"),
            goods(Kind::Lining, "lining", "4.25", "9"),
            goods(Kind::Trim, "trims", "1", "60"),
            goods(Kind::Notion, "notions", "1", "35"),
        ],
        waste: exact("10"),
        work: vec![work(Stage::Machine, 1, "46", "22")],
        overhead: usd("6"),
        extras: vec![],
        margin: exact("15"),
        tax: None,
        rounding: Rounding::default(),
        parts: half_and_rest(),
        last: "When you fetch it".into(),
    }
}

fn figures(quote: &Quote, view: View) -> Vec<(What, i64)> {
    let lines = quote.lines(view).iter();
    lines.map(|l| (l.what, l.money.minor())).collect()
}

/// Would catch a cent: W13 comes to 1868.91, and half of it to 934.46.
#[test]
fn w13_to_the_cent() {
    let quote = reckon(&w13()).unwrap();
    assert_eq!(quote.materials.to_string(), "273.25 USD");
    assert_eq!(quote.cost.to_string(), "1588.58 USD");
    assert_eq!(quote.total.to_string(), "1868.91 USD");
    assert_eq!(quote.price, quote.total);
    assert_eq!(quote.parts, [usd("934.46"), usd("934.45")]);
    // Each line is rounded by itself, and what they are out by is told: 273.25 + 27.33 + 1012 + 276
    // + 280.34 are 1868.92.
    assert_eq!(
        figures(&quote, View::Inside),
        [
            (What::Goods(0), 14000),
            (What::Goods(1), 3825),
            (What::Goods(2), 6000),
            (What::Goods(3), 3500),
            (What::Waste, 2733),
            (What::Work(0), 101_200),
            (What::Overhead, 27600),
            (What::Margin, 28034),
            (What::Rounded, -1),
        ]
    );
    // For the client: 140 x 1.1 / 0.85 = 181.176..., and 46 x 28 / 0.85 = 1515.294...
    let client = figures(&quote, View::Stages);
    assert_eq!(client[0], (What::Goods(0), 18118));
    assert_eq!(client[4], (What::Work(0), 151_529));
}

/// The sheet of the mock pages: its price is 616.15, in 308.08, 154.04 and 154.03.
#[test]
fn the_sheet_of_the_mock() {
    let mut asked = w13();
    asked.goods = vec![
        goods(Kind::Cloth, "crepe", "2 5/8", "28"),
        goods(Kind::Lining, "lining", "1 1/4", "9"),
        goods(
            Kind::Notion,
            "horsehair, zip, thread, waist stay",
            "1",
            "35",
        ),
    ];
    asked.work = vec![work(Stage::Machine, 1, "14", "28")];
    asked.overhead = usd("0");
    asked.parts.push(Part {
        words: "At the first fitting".into(),
        share: Share::Percent(exact("25")),
    });
    let quote = reckon(&asked).unwrap();
    let said: Vec<i64> = figures(&quote, View::Inside)
        .iter()
        .map(|(_, m)| *m)
        .collect();
    assert_eq!(said[..5], [7350, 1125, 3500, 1198, 39200]);
    assert_eq!(quote.total, usd("616.15"));
    assert_eq!(quote.parts, [usd("308.08"), usd("154.04"), usd("154.03")]);
}

/// Would catch tax that is taken off the wrong figure, or rounded so that the sheet does not add up.
#[test]
fn tax_on_top_and_within() {
    let mut asked = w13();
    let mut tax = Tax {
        name: "VAT".into(),
        percent: exact("20"),
        way: TaxWay::Added,
    };
    asked.tax = Some(tax.clone());
    let quote = reckon(&asked).unwrap();
    // 1588.575 / 0.85 x 1.2 = 2242.694...; a sixth of the total is tax.
    assert_eq!(quote.total, usd("2242.69"));
    assert_eq!(quote.tax, Some(usd("373.78")));
    assert_eq!(quote.price, usd("1868.91"));
    tax.way = TaxWay::Within;
    asked.tax = Some(tax);
    let quote = reckon(&asked).unwrap();
    assert_eq!((quote.total, quote.price), (usd("1868.91"), usd("1868.91")));
    assert_eq!(quote.tax, Some(usd("311.49")));
}

/// Would catch a total that is rounded without being told, or by another step.
#[test]
fn the_total_is_rounded_as_she_says() {
    let mut asked = w13();
    for (to, way, total) in [
        (100, RoundWay::Nearest, "1869.00"),
        (500, RoundWay::Nearest, "1870.00"),
        (1000, RoundWay::Nearest, "1870.00"),
        (5000, RoundWay::Nearest, "1850.00"),
        (5000, RoundWay::Up, "1900.00"),
        (5, RoundWay::Nearest, "1868.90"),
    ] {
        asked.rounding = Rounding { to, way };
        let quote = reckon(&asked).unwrap();
        assert_eq!(quote.total, usd(total));
        let last = quote.lines(View::Stages).last().unwrap();
        assert_eq!(last.what, What::Rounded);
    }
}

/// Would catch cloth that she brings and that is charged for, or whose hours are not.
#[test]
fn her_own_cloth_costs_nothing_here() {
    let mut asked = w13();
    asked.goods[0].hers = true;
    let quote = reckon(&asked).unwrap();
    assert_eq!(quote.materials, usd("133.25"));
    assert_eq!(figures(&quote, View::Stages)[0], (What::Goods(0), 0));
}

/// Would catch a currency with other coins.
#[test]
fn dong_and_dinar() {
    for (code, total) in [("VND", "2167 VND"), ("KWD", "2.167 KWD")] {
        let mut asked = w13();
        asked.currency = code.into();
        let each = |minor| Money::new(minor, code).unwrap();
        asked.goods.truncate(1);
        asked.goods[0].amount = exact("1/3");
        asked.goods[0].each = each(5000);
        asked.work[0].rate = each(0);
        asked.overhead = each(0);
        asked.waste = exact("10.5");
        // 5000 / 3 x 1.105 / 0.85 = 2166.67
        assert_eq!(reckon(&asked).unwrap().total.to_string(), total);
    }
}

/// Would catch hours that are lost between the fittings and the work.
#[test]
fn fittings_are_hours_times_how_often() {
    let mut asked = w13();
    asked.work = vec![
        work(Stage::Pattern, 1, "6", "22"),
        work(Stage::Machine, 1, "34", "22"),
        work(Stage::Fitting, 4, "1.5", "22"),
    ];
    let quote = reckon(&asked).unwrap();
    assert_eq!(quote.hours, exact("46"));
    assert_eq!(quote.total, usd("1868.91"));
    let one = figures(&quote, View::OneLine);
    assert!(one.contains(&(What::AllWork, 151_529)), "{one:?}");
}

/// Each bad figure is told at its own place, all at once.
#[test]
fn every_bad_figure_has_its_fault() {
    let mut asked = w13();
    asked.goods[1].amount = exact("100001");
    asked.goods[2].each = Money::new(-1, "USD").unwrap();
    asked.goods[3].each = Money::new(100, "EUR").unwrap();
    asked.waste = exact("101");
    asked.work[0].hours = Exact::whole(-1);
    asked.work[0].times = 5000;
    asked.work[0].rate = Money::new(i64::MAX, "USD").unwrap();
    asked.overhead = Money::new(0, "GBP").unwrap();
    asked.extras.push(Extra {
        words: "rush".into(),
        money: Money::new(i64::MIN, "USD").unwrap(),
    });
    asked.margin = exact("100");
    asked.tax = Some(Tax {
        name: "VAT".into(),
        percent: exact("200"),
        way: TaxWay::Added,
    });
    asked.rounding.to = 0;
    asked.parts.push(Part {
        words: "again".into(),
        share: Share::Percent(exact("60")),
    });
    let faults = reckon(&asked).unwrap_err();
    let places: Vec<&str> = faults.iter().map(|f| f.place.as_str()).collect();
    assert_eq!(
        places,
        [
            "goods/1/amount",
            "goods/2/each",
            "goods/3/each",
            "waste",
            "work/0/hours",
            "work/0/times",
            "work/0/rate",
            "overhead",
            "extra/0/money",
            "margin",
            "tax",
            "rounding",
            "part",
        ]
    );
    assert!(
        faults
            .iter()
            .all(|f| !f.says.is_empty() && !f.hint.is_empty())
    );
    asked.currency = "dollars".into();
    assert_eq!(reckon(&asked).unwrap_err()[0].place, "currency");
}

/// Would catch sums that wrap round: 200 lines whose fractions have nothing in common are refused.
#[test]
fn what_cannot_be_exact_is_refused() {
    let mut asked = w13();
    asked.goods = (801..1000)
        .map(|under| goods(Kind::Trim, "beads", &format!("1/{under}"), "9999999.99"))
        .collect();
    let faults = reckon(&asked).unwrap_err();
    assert_eq!(faults[0].place, "all");
}

/// Would catch a balance that forgets what was paid back, or parts that are paid out of turn.
#[test]
fn what_was_paid_pays_the_first_part_first() {
    let quote = reckon(&w13()).unwrap();
    let back = Money::new(-10000, "USD").unwrap();
    let now = standing(&quote, &[usd("900"), usd("200"), back]).unwrap();
    assert_eq!((now.received, now.balance), (usd("1000"), usd("868.91")));
    assert_eq!(now.parts[0].received, usd("934.46"));
    assert!(now.parts[0].is_paid() && !now.parts[1].is_paid());
    assert_eq!(now.parts[1].received, usd("65.54"));
    let over = standing(&quote, &[usd("2000")]).unwrap();
    assert_eq!(over.balance.minor(), -13109);
    assert_eq!(standing(&quote, &[Money::new(1, "EUR").unwrap()]), None);
    let large = Money::new(i64::MAX, "USD").unwrap();
    assert_eq!(standing(&quote, &[large, large]), None);
}

/// Would catch a margin that is told of the cost, or hours without their overhead.
#[test]
fn what_it_really_took() {
    let asked = w13();
    let quote = reckon(&asked).unwrap();
    let spent = |minor| Money::new(minor, "USD").unwrap();
    let log = [
        Actual {
            stage: Some(Stage::Machine),
            minutes: 50 * 60,
            spent: spent(0),
        },
        Actual {
            stage: Some(Stage::Hand),
            minutes: 30,
            spent: spent(0),
        },
        Actual {
            stage: None,
            minutes: 0,
            spent: spent(28000),
        },
    ];
    let told = against(&asked, &quote, &log).unwrap();
    // 50.5 x 28 + 280 = 1694; 1868.91 - 1694 = 174.91, which is 9.36 % of the price.
    assert_eq!(told.hours, exact("50.5"));
    assert_eq!(told.cost, usd("1694"));
    assert_eq!(told.left, usd("174.91"));
    assert_eq!(told.margin, Some(exact("9.4")));
    assert_eq!(told.quoted_cost, usd("1588.58"));
    assert_eq!(told.stages.len(), 2);
}

/// Would catch a half cent that is told twice: what is left and what it cost come to the price.
#[test]
fn price_cost_and_what_is_left_agree_as_they_are_told() {
    let mut asked = w13();
    for work in &mut asked.work {
        work.rate = Money::new(2201, "USD").unwrap();
    }
    let quote = reckon(&asked).unwrap();
    let log = [Actual {
        stage: Some(Stage::Hand),
        minutes: 30,
        spent: Money::new(0, "USD").unwrap(),
    }];
    let told = against(&asked, &quote, &log).unwrap();
    // Half an hour at 22.01 and its overhead of 6.00 is 14.005.
    assert_eq!(told.cost, usd("14.01"));
    assert_eq!(
        told.left.minor() + told.cost.minor(),
        quote.price.minor(),
        "{told:?}"
    );
}

prop_compose! {
    fn any_asked()(
        lines in prop::collection::vec((0_i64..800, 0_i64..100_000), 0..8),
        hours in prop::collection::vec((0_i64..400, 0_i64..20_000), 0..6),
        extras in prop::collection::vec(0_i64..50_000, 0..3),
        (waste, margin, tax) in (0_i64..40, 0_i64..90, 0_i64..30),
        overhead in 0_i64..5000,
        added in any::<bool>(),
        taxed in any::<bool>(),
        parts in prop::collection::vec(0_i64..34, 0..4),
        (to, up) in (prop::sample::select(vec![1_i64, 5, 100, 1000]), any::<bool>()),
    ) -> Asked {
        let money = |minor| Money::new(minor, "USD").unwrap();
        Asked {
            currency: "USD".into(),
            goods: lines.into_iter().map(|(eighths, each)| Goods {
                kind: Kind::Cloth,
                words: String::new(),
                amount: Exact::over(eighths, 8).unwrap(),
                count: Count::Yard,
                each: money(each),
                hers: false,
            }).collect(),
            waste: Exact::whole(waste),
            work: hours.into_iter().map(|(quarters, rate)| Work {
                stage: Stage::Hand,
                times: 1,
                hours: Exact::over(quarters, 4).unwrap(),
                rate: money(rate),
            }).collect(),
            overhead: money(overhead),
            extras: extras.into_iter().map(|m| Extra { words: String::new(), money: money(m) }).collect(),
            margin: Exact::whole(margin),
            tax: taxed.then(|| Tax {
                name: "VAT".into(),
                percent: Exact::whole(tax),
                way: if added { TaxWay::Added } else { TaxWay::Within },
            }),
            rounding: Rounding { to, way: if up { RoundWay::Up } else { RoundWay::Nearest } },
            parts: parts.into_iter().map(|p| Part { words: String::new(), share: Share::Percent(Exact::whole(p)) }).collect(),
            last: String::new(),
        }
    }
}

/// The price by the formula once more, in whole numbers over one common number: materials come in
/// eighths, hours in quarters, shares in hundredths.
fn over_one_number(asked: &Asked) -> (i128, i128) {
    let whole =
        |e: Exact, by: i64| i128::from(e.times(Exact::whole(by)).unwrap().nearest().unwrap());
    let materials: i128 = asked
        .goods
        .iter()
        .map(|g| whole(g.amount, 8) * i128::from(g.each.minor()))
        .sum();
    let hours: i128 = asked
        .work
        .iter()
        .map(|w| whole(w.hours, 4) * i128::from(w.rate.minor() + asked.overhead.minor()))
        .sum();
    let extras: i128 = asked
        .extras
        .iter()
        .map(|e| i128::from(e.money.minor()))
        .sum();
    let cost_in_800 = materials * (100 + whole(asked.waste, 1)) + hours * 200 + extras * 800;
    let added = asked
        .tax
        .as_ref()
        .filter(|t| t.way == TaxWay::Added)
        .map_or(0, |t| whole(t.percent, 1));
    (
        cost_in_800 * (100 + added),
        8 * 100 * (100 - whole(asked.margin, 1)),
    )
}

proptest! {
    /// Against the same formula in whole numbers; the lines and the parts add up; and where nothing
    /// but the coin is rounded to, the told rounding is no more than half a coin a printed figure.
    #[test]
    fn adds_up_and_agrees(asked in any_asked()) {
        let quote = reckon(&asked).unwrap();
        let (over, under) = over_one_number(&asked);
        let step = under * i128::from(asked.rounding.to);
        let steps = match asked.rounding.way {
            RoundWay::Nearest => (2 * over + step).div_euclid(2 * step),
            RoundWay::Up => -(-over).div_euclid(step),
        };
        prop_assert_eq!(i128::from(quote.total.minor()), steps * i128::from(asked.rounding.to));
        for view in [View::Inside, View::Stages, View::OneLine] {
            let lines = quote.lines(view);
            let sum: i64 = lines.iter().map(|l| l.money.minor()).sum();
            prop_assert_eq!(sum, quote.price.minor());
            let rounded: i64 = lines.iter().filter(|l| l.what == What::Rounded).map(|l| l.money.minor()).sum();
            if asked.rounding.to == 1 && asked.rounding.way == RoundWay::Nearest {
                // Half a coin for each line, and one for the price and the tax.
                prop_assert!(2 * rounded.abs() <= i64::try_from(lines.len()).unwrap() + 2, "{:?}", lines);
            }
        }
        let added = asked.tax.as_ref().is_some_and(|t| t.way == TaxWay::Added);
        let tax = quote.tax.filter(|_| added).map_or(0, Money::minor);
        prop_assert_eq!(quote.price.minor() + tax, quote.total.minor());
        let parts: i64 = quote.parts.iter().map(|p| p.minor()).sum();
        prop_assert_eq!(parts, quote.total.minor());
        prop_assert!(quote.parts.iter().all(|p| p.minor() >= 0));
    }

    /// No figure, however wild, brings it down or is reckoned with in silence.
    #[test]
    fn wild_figures_are_refused(amount in any::<i64>(), under in any::<i64>(), minor in any::<i64>(), percent in any::<i64>(), to in any::<i64>()) {
        let mut asked = w13();
        if let Some(wild) = Exact::over(amount, under) {
            asked.goods[0].amount = wild;
        }
        asked.goods[1].each = Money::new(minor, "USD").unwrap();
        asked.margin = Exact::whole(percent);
        asked.rounding.to = to;
        if let Ok(quote) = reckon(&asked) {
            prop_assert!((0..=95).contains(&percent) && to > 0 && minor >= 0);
            prop_assert!(quote.total.minor() >= 0);
        }
    }
}
