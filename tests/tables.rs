#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test stops at the first thing that is wrong"
)]
//! The built-in tables: provenance, units, order, relations between columns, and what is from memory.

use sha2::{Digest, Sha256};
use strutwise::tables::eurocode::LoadDuration;
use strutwise::tables::fasteners::{Hole, NdsFastener};
use strutwise::tables::grade::{Grade, Material};
use strutwise::tables::nds::SizeGroup;
use strutwise::tables::provenance::{Seen, Sure};
use strutwise::tables::read::{Table, to_si};
use strutwise::tables::{FILES, Tables};

fn table(name: &str) -> &'static Table {
    Tables::built_in().find(name).unwrap()
}

#[test]
fn a_name_that_is_not_there_names_those_near_it() {
    let near = |name: &str| Tables::built_in().find(name).unwrap_err().near;
    assert_eq!(near("en338_softwod")[0], "en338_softwood");
    // A word of a name is enough.
    assert!(near("snow").iter().all(|name| name.contains("snow")) && near("snow").len() > 2);
    assert!(near("qqqq").is_empty());
}

fn column(name: &str, column: &str) -> Vec<f64> {
    let table = table(name);
    table.rows.iter().map(|r| table.printed(r, column).unwrap()).collect()
}

/// SHA-256 of the files: a table changes only knowingly, together with this line, after the file has
/// been laid beside the sheet or the book again.
const CHECKSUMS: &[(&str, &str)] = &[
    ("en338_softwood", "f3f7d745de688d0ad3cbed7026fb2e690133d59e204c1820d324eec2ebd6de2b"),
    ("en338_hardwood", "b110a42a163e117d309eef85e8bf8fc338133f76e6f6a31125affebf6f2707da"),
    ("en14080_glulam", "0cdaf138058bfe99baeaff0b3d8a941ae472b7c9b903830cc9c1c7db3e832a0d"),
    ("en1995_kmod", "914f4990f99e9d1f8b400df69e339a9227b831bd586e95ea2c01303db1e306bc"),
    ("en1995_kdef", "8915fb63f610623717a29bb118c6087fed50c60a9df96385af7de2647de4359e"),
    ("en1995_gamma_m", "9a310683ec3238c1ec2039819af829ebbea94fc52bfbd59d39791d7a3cfd05ef"),
    ("en1995_lateral_length", "6c7e5a9b72be639d056049b9697f2b9f518445ecb04b778a21f98def4493c7e5"),
    ("en1995_deflection", "a053376bb0238133037429d38f31004a42af4b0811c8b6ecd2a185d7895d3c5b"),
    ("nds_4a", "2bf3f891ad925ef6ef05f5719d18def224b475cd7c6ce637e2c59fe0e56e8a13"),
    ("nds_4b", "151dfb64334a73af8ce911ce2ec6312aadb836a4947342e50fb9592eb5dd9781"),
    ("nds_species", "54fea01a08579b234056d839e770e2ad554416b4925e2af37ed3c9f909101cb0"),
    ("nds_size_factor", "8702184a8e5506ee9c464264de13b04732b015bcf29d14331335336677cfc157"),
    ("nds_load_duration", "1ff57b92f15d086b47cb0bb0afa2ff193603daf746991f20374197347c936f7e"),
    ("nds_wet_service", "8211d8d75ef65e7c047b614f1b3928f68ee9c209b1a255bda1c3225288c49d90"),
    ("nds_wet_service_glulam", "4f655a95506bb47983677297068c68aca33e6f4cd2d20ba381b7d99347e66ab3"),
    ("nds_temperature", "2cce97b79e2fb1eb9a9f1eaaeb42308c625abaeb14ce4b1ab1e211cf2f26507e"),
    ("nds_flat_use", "73fe99fecb4d75458d9781f55a97b7a172853a4715ebb53c3557e1dda9e64f81"),
    ("nds_incising", "0c0cb6a0f0ddef216b570cba4a8b30d7a879a94c88547fda4c898db2d6ddb0e0"),
    ("nds_lrfd", "930fcef101637066b79da2e6898c973883ca791f8fadbbcfdfa5ac88b1841379"),
    ("nds_time_effect", "08a86ddb449749b14337faf4cec2bfca0101f0d52493114abd58edb154642bc4"),
    ("nds_lateral_length", "0f2fa912ee5921c00549418d28d6e3c76681e0c2233f2f50d056bc79b682ce39"),
    ("nds_dressed", "1f47ae65af2c934194be2dc37570408d234296b433a734d59d5418a80f7f1872"),
    ("fasteners_en1995_rope", "750c7aca22246d63099d38959572ffdf2f7811b804fd1f54b8a0eddc3db98440"),
    ("fasteners_en1995_kef", "b5b3fde4c50c46c3724a46dd598ad0d37c1ca865aef729148511a6c17fd61bd9"),
    ("fasteners_en1995_nails", "ad7ecb8b324e84caea71c18b13d5291f87032ee01fe58750ff7840fa13a5c9fc"),
    ("fasteners_en1995_bolts", "6b76ad16f3549cd7faefd3b9770158590e8f556777188d46495338186ea32c85"),
    ("fasteners_en1995_pulled_screws", "5863f2eeeeccba8e5298b4b12173d36c87053e145b81a446048079066a120fa0"),
    ("fasteners_nds_wood_screws", "00abc3623acef61433bea4ad2301d107b5db0386bd75a84c00e45db0cdb9f790"),
    ("fasteners_nds_lag_screws", "5ee8865aaa9d47b5c407351bcec17a4bc8868d9d6e1da951468d880b9240b0b0"),
    ("fasteners_nds_bending_yield", "5262de449956c04b01f59e09ecf86ace816a3462c834abbc43699949c9292ccd"),
    ("fasteners_nds_wet_service", "9ffdd1fa644e245119a5ff53f4e72b254023ad1c7a9e90b533c81867606a5c3a"),
    ("fasteners_nds_temperature", "4efb90394efc42e48b114eaaa2742a6288d544395c196df1a41626ba4262c8c3"),
    ("fasteners_nds_distances", "2b77da5b5da02fdb4985d16456a4b8de56a075daa01a0a5bf4308b8744cf88fd"),
    ("fasteners_steel", "da879be0ec991141f8060ba57d86266d407538a7acb1a11d95c73e9709e9a27c"),
    ("en1990_factors", "f65644799fcc6e3db0dbc846dbe6c205726e2e3d7221059d3c466e71aaf8bc5a"),
    ("en1991_snow_shape", "5e1d61ee83604348f67f81e96bf97f887efcaa54000a367691d7067a92a1a58e"),
    ("en1991_wind_vault", "966e264837a67e1e6254b0cce00a9a5e62bb16ca18b0340b1a7e29f71efa0786"),
    ("en1991_wind_dome", "0786a89febd436f6556df4667c7a7f70c0ccf5f6feca7a915d0bf703e5ca1290"),
    ("en1991_wind_along", "4af14ef0a889109053642086effb3306f8a169d549de9e0ec57e0b3d2acd75bc"),
    ("en1991_wind_friction", "731310233e82477dae0612f59b0bf7f5820ca0c3fa73c21a157fe0929d9f3b48"),
    ("en1991_wind_inside", "83ddbec41c86f67651d088b4423c32ea3f4860539ca9218876eaaacfe9f16d66"),
    ("en1991_terrain", "eba0710c44eb0eb49f00f536c826448f434804a95216377614f422d1105db4f3"),
    ("asce7_snow_constants", "0cc3a4c8c5422e5e848c7344236908a1a720910f90e861f44b11118acbc31197"),
    ("asce7_snow_slope", "0fc66cda5f7f8f88a8f358125e6f98921c55e417772021fe8790ebee04866994"),
    ("asce7_wind_arch", "17eae6aa9b99b19693e235587c4a5f527d249be918804415f19b1fab8a0bdf92"),
    ("asce7_wind_dome", "ba80064770fd9194c02e2ba5f24527b14099beaef53c91e81fb31b4b8385cf1a"),
    ("asce7_wind_along", "92a2eed9ce3ff9a011c949599d02ef34b3bea450a30937d16a96c7b5e8f4e103"),
    ("asce7_wind_exposure", "38719fe7254469e3a379bf7e01bf503e88fcc1fb70f2e4ff343f1fe6bd1cdaf5"),
    ("asce7_wind_constants", "c387ed5016045f3fcf48a5850baacfff4ad065188dfd04ee59116dd947196429"),
    ("metric_sizes", "dcfd07b910554dab633455635475dbacd695a11c899aa880cbc84a60a69db05a"),
];
/// Sums of whole columns, taken from the sheets apart from the files.
const SUMS: &[(&str, &str, f64)] = &[
    ("en338_softwood", "fm_k", 246.0),
    ("en338_softwood", "ft0_k", 148.7),
    ("en338_softwood", "ft90_k", 4.0),
    ("en338_softwood", "fc0_k", 209.0),
    ("en338_softwood", "fc90_k", 24.3),
    ("en338_softwood", "fv_k", 37.0),
    ("en338_softwood", "E0_mean", 105000.0),
    ("en338_softwood", "E0_k", 70400.0),
    ("en338_softwood", "E90_mean", 3500.0),
    ("en338_softwood", "G_mean", 6570.0),
    ("en338_softwood", "rho_k", 3470.0),
    ("en338_softwood", "rho_mean", 4170.0),
    ("en338_hardwood", "fm_k", 197.0),
    ("en338_hardwood", "ft0_k", 118.0),
    ("en338_hardwood", "ft90_k", 3.6),
    ("en338_hardwood", "fc0_k", 145.0),
    ("en338_hardwood", "fc90_k", 32.1),
    ("en338_hardwood", "fv_k", 23.9),
    ("en338_hardwood", "E0_mean", 69500.0),
    ("en338_hardwood", "E0_k", 58400.0),
    ("en338_hardwood", "E90_mean", 4630.0),
    ("en338_hardwood", "G_mean", 4350.0),
    ("en338_hardwood", "rho_k", 3200.0),
    ("en338_hardwood", "rho_mean", 3840.0),
    ("en14080_glulam", "fm_k", 166.0),
    ("en14080_glulam", "ft0_k", 127.6),
    ("en14080_glulam", "ft90_k", 3.0),
    ("en14080_glulam", "fc0_k", 159.5),
    ("en14080_glulam", "fc90_k", 15.0),
    ("en14080_glulam", "fv_k", 21.0),
    ("en14080_glulam", "E0_mean", 75400.0),
    ("en14080_glulam", "E0_05", 62700.0),
    ("en14080_glulam", "E90_mean", 1800.0),
    ("en14080_glulam", "G_mean", 3900.0),
    ("en14080_glulam", "rho_k", 2435.0),
    ("en14080_glulam", "rho_mean", 2670.0),
    ("nds_4a", "Fb", 35550.0),
    ("nds_4a", "Ft", 21300.0),
    ("nds_4a", "Fv", 7235.0),
    ("nds_4a", "Fc_perp", 22295.0),
    ("nds_4a", "Fc", 46525.0),
    ("nds_4a", "E", 56200000.0),
    ("nds_4a", "Emin", 20510000.0),
    ("nds_4a", "G", 19.63),
    ("nds_4b", "Fb", 27375.0),
    ("nds_4b", "Ft", 17875.0),
    ("nds_4b", "Fv", 4200.0),
    ("nds_4b", "Fc_perp", 13655.0),
    ("nds_4b", "Fc", 32700.0),
    ("nds_4b", "E", 36200000.0),
    ("nds_4b", "Emin", 13180000.0),
    ("nds_4b", "G", 13.2),
    ("nds_dressed", "b", 20.0),
    ("nds_dressed", "d", 53.25),
    ("nds_dressed", "A", 101.375),
    ("nds_dressed", "S", 108.819),
    ("nds_dressed", "I", 423.0417),
];

#[test]
fn every_file_reads_and_every_row_says_where_it_is_from() {
    assert_eq!(Tables::built_in().list().len(), FILES.len());
    for table in Tables::built_in().list() {
        assert!(!table.rows.is_empty(), "{}", table.name);
        assert!(!table.standard.is_empty() && !table.title.is_empty(), "{}", table.name);
        for row in &table.rows {
            assert!(row.source.words.len() >= 12, "{} {}: no source in words", table.name, row.name);
        }
    }
}

#[test]
fn what_is_from_memory_is_counted() {
    let mut memory = 0;
    let mut medium = 0;
    for table in Tables::built_in().list() {
        for row in &table.rows {
            if row.source.seen == Seen::Memory {
                memory += 1;
                println!("{} / {}: {}", table.name, row.name, row.source);
            }
            medium += usize::from(row.source.sure == Sure::Medium);
            assert_ne!(row.source.sure, Sure::Low, "{} {}: do not ship", table.name, row.name);
        }
    }
    println!("{memory} rows from memory, {medium} rows of medium confidence");
}

#[test]
fn no_table_has_changed_unnoticed() {
    for (name, _) in FILES {
        assert!(CHECKSUMS.iter().any(|(pinned, _)| pinned == name), "{name} is not pinned");
    }
    for (name, pinned) in CHECKSUMS {
        let digest = Sha256::digest(table(name).text.as_bytes());
        let hex: String = digest.iter().map(|b| format!("{b:02x}")).collect();
        assert_eq!(&hex, pinned, "{name}: hold it against its source, then pin {hex}");
    }
}

#[test]
fn column_sums_are_those_of_the_sheets() {
    for (name, wanted, sum) in SUMS {
        let found: f64 = column(name, wanted).iter().sum();
        assert!((found - sum).abs() <= 1e-6 * sum.abs(), "{name} {wanted}: {found} for {sum}");
    }
}

#[test]
fn grades_rise_in_every_column() {
    for name in ["en338_softwood", "en338_hardwood"] {
        for key in table(name).columns.iter().skip(1) {
            let values = column(name, key);
            assert!(values.windows(2).all(|w| w[0] <= w[1]), "{name} {key}: {values:?}");
        }
    }
    // Within a species: better visual grades are no weaker (Redwood's open-grain rows aside).
    let nds = table("nds_4a");
    for species in ["DF-L", "HF", "SPF", "Western Cedars"] {
        let order = ["Select Structural", "No.1 & Btr", "No.1", "No.1/No.2", "No.2", "No.3"];
        for key in ["Fb", "Ft", "Fc", "E", "Emin"] {
            let values: Vec<f64> = order
                .iter()
                .filter_map(|g| nds.row(&format!("{species} {g}")))
                .map(|r| nds.printed(r, key).unwrap())
                .collect();
            assert!(values.windows(2).all(|w| w[0] >= w[1]), "{species} {key}: {values:?}");
        }
    }
}

/// EN 384:2016 relations (from memory, high); rounding as EN 338 prints: ft0 of softwood to 0.5 above
/// C16, strengths to whole numbers or tenths, E0 to 100, E90 and G to 10.
#[test]
fn derived_columns_follow_en_384() {
    let close = |found: f64, derived: f64, step: f64, what: &str| {
        assert!((found - derived).abs() <= 0.5 * step + 1e-9, "{what}: {found} for {derived}");
    };
    let soft = table("en338_softwood");
    for row in &soft.rows {
        let get = |c: &str| soft.printed(row, c).unwrap();
        let n = row.name.as_str();
        close(get("ft0_k"), -3.07 + 0.73 * get("fm_k"), 0.5, n);
        close(get("fc0_k"), 4.3 * get("fm_k").sqrt(), 1.0, n);
        close(get("fc90_k"), 0.007 * get("rho_k"), 0.1, n);
        close(get("fv_k"), (1.6 + 0.1 * get("fm_k")).min(4.0), 0.1, n);
        close(get("E0_k"), 0.67 * get("E0_mean"), 100.0, n);
        close(get("E90_mean"), get("E0_mean") / 30.0, 10.0, n);
        close(get("G_mean"), get("E0_mean") / 16.0, 10.0, n);
    }
    let hard = table("en338_hardwood");
    for row in &hard.rows {
        let get = |c: &str| hard.printed(row, c).unwrap();
        let n = row.name.as_str();
        close(get("ft0_k"), 0.6 * get("fm_k"), 1.0, n);
        close(get("fc0_k"), 4.3 * get("fm_k").sqrt(), 1.0, n);
        close(get("fc90_k"), 0.010 * get("rho_k"), 0.1, n);
        close(get("fv_k"), (3.0 + 0.03 * get("fm_k")).min(5.0), 0.1, n);
        close(get("E0_k"), 0.84 * get("E0_mean"), 100.0, n);
        close(get("E90_mean"), get("E0_mean") / 15.0, 10.0, n);
        close(get("G_mean"), get("E0_mean") / 16.0, 10.0, n);
        close(get("rho_mean"), 1.2 * get("rho_k"), 10.0, n);
    }
}

/// NDS Appendix D (from memory, high): Emin = E (1 - 1.645 COV) 1.03 / 1.66 with COV 0.25, rounded to
/// 10 000 psi.
#[test]
fn e_min_follows_e() {
    for name in ["nds_4a", "nds_4b"] {
        for (e, e_min) in column(name, "E").into_iter().zip(column(name, "Emin")) {
            let derived = e * (1.0 - 1.645 * 0.25) * 1.03 / 1.66;
            assert!((e_min - derived).abs() <= 5001.0, "{name}: E {e} has Emin {e_min}, not {derived}");
        }
    }
}

#[test]
fn dressed_areas_and_moduli_are_those_of_b_and_d() {
    let dressed = table("nds_dressed");
    for row in &dressed.rows {
        let get = |c: &str| dressed.printed(row, c).unwrap();
        let (b, d) = (get("b"), get("d"));
        for (column, value) in [("A", b * d), ("S", b * d * d / 6.0), ("I", b * d.powi(3) / 12.0)] {
            assert!((get(column) - value).abs() <= 6e-5 * value, "{} {column}", row.name);
        }
    }
}

/// Traps of the sheets: the 2016 tension strengths, and the Southern Pine generation of June 2013.
#[test]
fn the_editions_are_the_ones_meant() {
    let Grade::Eurocode(c16) = Tables::built_in().grade("C16").unwrap() else { panic!() };
    assert!((c16.f_t_0_k - 8.5e6).abs() < 1.0, "EN 338:2016 has 8.5, 2009 had 10");
    let Grade::Eurocode(c24) = Tables::built_in().grade("c 24").unwrap() else { panic!() };
    assert!((c24.f_t_0_k - 14.5e6).abs() < 1.0 && (c24.f_v_k - 4e6).abs() < 1.0);
    let Grade::Nds(pine) = Tables::built_in().grade("Southern Pine #2").unwrap() else { panic!() };
    let psi = to_si("psi").unwrap();
    let values = pine.at(4).unwrap().values;
    assert!((values.f_b / psi - 1100.0).abs() < 1e-6 && (values.f_c / psi - 1450.0).abs() < 1e-6);
    assert!((pine.at(12).unwrap().values.f_b / psi - 750.0).abs() < 1e-6);
}

#[test]
fn stud_eight_inches_wide_takes_the_values_and_factor_of_no_3() {
    let Grade::Nds(stud) = Tables::built_in().grade("DF-L Stud").unwrap() else { panic!() };
    let Grade::Nds(third) = Tables::built_in().grade("DF-L No.3").unwrap() else { panic!() };
    assert_eq!(stud.at(8).unwrap().values, third.at(8).unwrap().values);
    assert_eq!(stud.at(8).unwrap().group, SizeGroup::General);
    assert_eq!(stud.at(4).unwrap().group, SizeGroup::Stud);
}

#[test]
fn look_ups_give_what_is_printed_and_name_what_is_near() {
    let tables = Tables::built_in();
    let k = tables.k_mod(Material::Softwood, 3, LoadDuration::Short).unwrap();
    assert!((k - 0.70).abs() < 1e-12);
    assert_eq!(tables.k_mod(Material::Softwood, 4, LoadDuration::Short), None);
    assert_eq!(tables.k_mod(Material::Softwood, 0, LoadDuration::Short), None);
    assert!((tables.k_def(Material::Glulam, 3).unwrap() - 2.0).abs() < 1e-12);
    assert!((tables.gamma_m(Material::Glulam) - 1.25).abs() < 1e-12);
    assert!((tables.gamma_m_connections() - 1.3).abs() < 1e-12);
    assert!((tables.gamma_m_accidental() - 1.0).abs() < 1e-12);

    let wrong = tables.grade("C25").unwrap_err();
    assert!(wrong.near.contains(&"C24".to_owned()), "{wrong}");
    let wrong = tables.grade("Duglas Fir-Larch No 2").unwrap_err();
    assert_eq!(wrong.near.first().map(String::as_str), Some("DF-L No.2"), "{wrong}");
    let south = tables.grade("SPF (South) No.2").unwrap_err();
    assert!(south.to_string().contains("weaker"), "{south}");
    let (b, d) = tables.stocked("2x4").unwrap();
    assert!((b - 0.0381).abs() < 1e-12 && (d - 0.0889).abs() < 1e-12);
    assert!(tables.stocked("2x5").is_err());
}

#[test]
fn size_factors_of_the_two_utility_widths_differ() {
    let tables = Tables::built_in();
    let narrow = tables.size_factor(SizeGroup::Utility, 3, 2).unwrap();
    let wide = tables.size_factor(SizeGroup::Utility, 4, 2).unwrap();
    assert!((narrow.bending - 0.4).abs() < 1e-12 && (wide.bending - 1.0).abs() < 1e-12);
    assert!(tables.size_factor(SizeGroup::Utility, 3, 4).is_none());
    // Nominal 4 and 12 in, and between 3 and 4 in and between 4 and 5 in the narrower, but for a millimetre that is planed away.
    for (width, thick, factor) in [
        (3.5, 2, 1.1),
        (11.25, 4, 1.1),
        (3.47, 2, 1.1),
        (2.95, 2, 1.0),
        (4.4, 4, 1.0),
        (5.4, 2, 1.1),
        (1.0, 2, 1.0),
    ] {
        assert!((tables.flat_use(width * 0.0254, thick) - factor).abs() < 1e-12, "{width}");
    }
}

/// What the rules want of the tables of fasteners: thinnest first (they look between the rows), the root inside the
/// thread, softer steel the thicker the screw.
#[test]
fn fasteners_are_in_order() {
    let fasteners = Tables::built_in().fasteners();
    assert!(fasteners.wood_screws.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 < w[1].1));
    assert!(fasteners.lag_screws.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 < w[1].1 && w[0].2 < w[1].2));
    let root_inside = |nominal: f64, root: f64| (0.6..0.9).contains(&(root / nominal));
    assert!(fasteners.wood_screws.iter().all(|row| root_inside(row.0, row.1)));
    assert!(fasteners.lag_screws.iter().all(|row| root_inside(row.0, row.1)));
    assert!(fasteners.k_ef.windows(2).all(|w| w[0].0 < w[1].0 && w[0].2 < w[1].2));
    for kind in [NdsFastener::Bolt, NdsFastener::LagScrew, NdsFastener::WoodScrew] {
        let strengths: Vec<f64> =
            (10..100).map(|d| fasteners.bending_yield(kind, f64::from(d) / 100.0)).collect();
        assert!(strengths.windows(2).all(|w| w[0] >= w[1]), "{kind:?}");
        assert!((strengths[89] - 45_000.0).abs() < 1e-9, "{kind:?}");
    }
}

/// EN 1995-1-1 Tables 8.2 and 8.4 at their corners, in diameters as a reader of the tables has them.
#[test]
fn distances_of_fasteners_are_those_of_the_tables() {
    let fasteners = Tables::built_in().fasteners();
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-12, "{found} for {wanted}");
    let (across, along) = ((0.0, 1.0), (1.0, 0.0));
    let bolts = &fasteners.bolts;
    close(bolts.along.at(0.010, along.0, along.1), 0.050);
    close(bolts.along.at(0.010, across.0, across.1), 0.040);
    close(bolts.loaded_end.at(0.010, along.0, along.1), 0.080);
    close(bolts.loaded_end.at(0.016, along.0, along.1), 0.112);
    close(bolts.loaded_edge.at(0.010, along.0, along.1), 0.030);
    close(bolts.loaded_edge.at(0.010, across.0, across.1), 0.040);
    close(fasteners.nails(Hole::Driven, 0.004).along.at(0.004, 1.0, 0.0), 0.040);
    close(fasteners.nails(Hole::Driven, 0.005).along.at(0.005, 1.0, 0.0), 0.060);
    close(fasteners.nails(Hole::Driven, 0.005).loaded_edge.at(0.005, 0.0, 1.0), 0.050);
    close(fasteners.nails(Hole::DrivenDense, 0.004).along.at(0.004, 1.0, 0.0), 0.060);
    close(fasteners.nails(Hole::DrivenDense, 0.005).loaded_edge.at(0.005, 0.0, 1.0), 0.060);
    close(fasteners.nails(Hole::DrivenDense, 0.005).loaded_end.at(0.005, 1.0, 0.0), 0.100);
    close(fasteners.nails(Hole::DrivenDense, 0.005).free_end.at(0.005, 1.0, 0.0), 0.075);
    for (found, sheet) in fasteners.pulled.into_iter().zip([4.0, 10.0, 7.0]) {
        close(found, sheet);
    }
    close(fasteners.nails(Hole::Drilled, 0.004).loaded_edge.at(0.004, 0.0, 1.0), 0.020);
    close(fasteners.nails(Hole::Drilled, 0.006).loaded_end.at(0.006, 1.0, 0.0), 0.072);
}
