-- A small invented shop as rows, for books of schema 3 and later: written with `import` by the program of schema 6 and read
-- out row by row. A fixture for sameness: what old rows meant must never change.
-- head 72bfbd77f68996904f2154198d634d8840a78cfa461083026720f6a3b314389c
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (1, 1735689600, 0, NULL, 'rule_set', 'default@1', NULL, 'rule set default@1', '8c8f6da3334914571d30e9c1559bfb7a0bf1310bf39b2df469fcdf63270b11fc', 'b85e22bb2d56a8e8fcda6c9fcd3751ae75512d282bab7a63bd6636d01b13a026');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (2, 1735689600, 0, NULL, 'rule_adoption', 'default@1', NULL, 'rules default@1 adopted: shipped with the program', 'c9d24e3fa08c577a996cb3aa58fa5719ba1af290dc784a53aa7c4c13961db0ab', '9bf7d51100ac0fc3e55aba464bddcf02ab6ad7573ba690840af7adb286f11466');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (3, 1754006400, 0, NULL, 'site', 'Saltmarsh', NULL, 'site Saltmarsh', 'f85ba106a8d49e2f89c2d00319cf69692412e804c22093011958b42b6d7b084b', 'f5ec98435de826f67b71270a15a277647f7b26cb333b3c267f291da076bf3e2b');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (4, 1754006400, 0, NULL, 'point', 'AE-3107', NULL, 'point AE-3107 at Saltmarsh', '410d830b014aeb1b2bad6fe8096bd5085df6c8c217b473b2cc5facfdb9c65b09', '0f769f81d167f623a7e1afba603986f687e1b247270d75712eb903a90fb3e1fa');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (5, 1754006400, 0, NULL, 'point', 'AE-3109', NULL, 'point AE-3109 at Saltmarsh', '0d89479f095ee721bac663319834e27102b0e57548d137034eb11a09ea3d2080', '0c01aaff66fe36928b373d2c864c837856f435415b436da8f6643c3895aacba1');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (6, 1754006400, 0, NULL, 'model', 'K7', NULL, 'model K7 (pH)', 'f1702bf51977699fb9c2703e9747b1de381bb33ce73e85ada45140416f1a6a8a', 'd3e2f38f16ab5c54fabc29d8ece61880c81b3538e23f5f0d1a268b092d4ae302');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (7, 1754006400, 0, NULL, 'model', 'R2', NULL, 'model R2 (ORP)', '4ea94d2edff067c5ba797718a115492a96ef76fc89e376b1869af0124574ce58', 'cf6ba3ef0098ebf6861f919be564373e8178d51ca944557c7c2eba5da1651ea6');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (8, 1754006400, 0, NULL, 'sensor', 'K7-0412', 'K7-0412', 'sensor K7-0412, model K7', 'e72482b1a92ecd7b02473414ca95759dc968eeeff0de08029824acf4c93ae148', '2b8ae94d2d81f23d862a8817817fd28c46acda7d05fcb1d52083b8c7af0efb3e');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (9, 1754006400, 0, NULL, 'sensor', 'K7-0431', 'K7-0431', 'sensor K7-0431, model K7', '8a38f333924dc13b3d15acb26a9373b34c00a34dae4b83aafafb4174ac4c495e', '47344dec71aa1836b56f0677873a0f361962b65e64d1666c338e94c199c3514d');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (10, 1754006400, 0, NULL, 'sensor', 'R2-0007', 'R2-0007', 'sensor R2-0007, model R2', '25ad27bdf02dce7525f4e8301454f8ae5a0757ba30554658c85c81ddd97eee9f', 'b84ad86e00714732f1b7407da4b7c44130c9bb46b98853622100633edf63a1e5');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (11, 1754006400, 0, NULL, 'placement', 'K7-0412 AE-3107 2025-02-01T08:00:00+01:00', 'K7-0412', 'K7-0412 at AE-3107 from 2025-02-01 to 2025-06-01', 'dba6663d728d98ea120997e672ca46b5528978b800cafe7a7f0bc08de2f3c6ff', '7ac0324bf57bd1533c631b8188f563d0b6622100dbd9ebc994175222e2b0663e');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (12, 1754006400, 0, NULL, 'placement', 'K7-0431 AE-3107 2025-06-01T00:00:00Z', 'K7-0431', 'K7-0431 at AE-3107 from 2025-06-01', '6c8528b34436af9b284dc268b87d57388935db91a630a2489215c19341f9a4ca', '53906338aefa7e57f0a6587141e72fbbbffe55cc23f32f037d1edc793e84872f');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (13, 1754006400, 0, NULL, 'placement', 'R2-0007 AE-3109 2025-02-01T00:00:00Z', 'R2-0007', 'R2-0007 at AE-3109 from 2025-02-01', '0421f0ec1527d8e0b3764044d0b7074678844d1a302622a4364ef3c57a17484b', '40e2e8e1a16496c10aa60b9f53169d34d938a6ae9fee63dd36d3324f618ba8dc');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (14, 1754006400, 0, NULL, 'lot', 'B7-2231', NULL, 'lot B7-2231 of ph7.00', 'd923665080a2c02dcf0cd6012a24795d5915e0f14f9192f1e79c8fa9882dcd28', '5c8f9d33021a492052b64babd2cb590cbb302eb2a835ff2c8c46b22eb8979481');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (15, 1754006400, 0, NULL, 'person', 'T1', NULL, 'person T1', '43c74709bc425de7f6201eaeed017cbe00d74faf5458c9bf05a3c40ef25abca7', '02424ce400936459ebd15a7a0dabdf355e9bfe38f91bd980e0b4472451cc0a5d');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (16, 1754006400, 0, NULL, 'hold', 'AE-3107 2025-03-02T08:12:00Z', NULL, 'AE-3107 in manual from 2025-03-02T08:12:00Z', '5fecdd839a529ded116dda8bac1fc150422c0898b155bcaa9135c6d66b639cca', 'a10bdc2055edcaf28e369b7bea9064fb50fc13fa25787d35a1544c59738f12b1');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (17, 1754006400, 0, NULL, 'legacy', 'K7-0412 2024-05-01T00:00:00Z as_found', 'K7-0412', 'K7-0412 on 2024-05-01: figures without millivolts', '71185241634904e2b60c1ab4a66ab6185096e4d7383f0c5ecd4fa3048c760871', '1d6dc7eb91942ee1511f50b0dfd6a81f957e3960c015ecd9ee97819ca3b9382f');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (18, 1754006400, 0, NULL, 'visit', 'v1', 'K7-0412', 'visit to K7-0412 at AE-3107: 4 readings, 1 action', '5731657bb99ab7e5d86be4572674c4f78795ed6c515278fcf8a3cf592ccecffa', '1699be939256eb1c8f8ab4ed202cdaea15c00fb35f22fb8a1e0908f1cda434b1');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (19, 1754006400, 0, NULL, 'visit', 'v2', 'R2-0007', 'visit to R2-0007 at AE-3109: 1 reading', '759ee8e5f9cc5b7434405c410e9d3529697400db2c60bfc985aa1f7779b199f6', '8bbc6c5dc8a8df342b625987c02cd6b38503afda0cdecba679acc138fad61a65');
INSERT INTO journal (seq, time_s, time_offset_min, person, what, key, serial, text, content, hash) VALUES (20, 1754006400, 0, NULL, 'correction', 'v1 readings 2 mv', 'K7-0412', 'readings row 2 of visit v1: mv "-176" corrected to "-167": digits swapped', 'f03fdcf4221574490746356a657bc400dab95bd9013a8cd434b61c149c59aa0e', '72bfbd77f68996904f2154198d634d8840a78cfa461083026720f6a3b314389c');
INSERT INTO rule_sets (id, text, recorded_s, recorded_offset_min, entry) VALUES ('default@1', '# Limits, signals, budget, bottle life and planning figures.
#
# A limit is { value, source, class }. `class` says how far its source can be trusted: law, standard, maker, common practice,
# memory (known from memory), assumed (set here so that a number exists; tune it), record, computed.
# A rule set of a shop''s own needs only what it changes when it begins with
#     [rules]
#     name = "strict-permit"
#     version = 2
#     base = "shipped"
# everything else is then taken from the shipped files. `inf` means that there is no such limit.

[rules]
name = "default"
version = 1

# ---------------------------------------------------------------- condition signals
# Words of NAMUR NE 107 (an open recommendation). Where several apply the first of this order is shown, the others as words.
[signals]
order = ["failure", "function_check", "out_of_specification", "maintenance_required"]

# ---------------------------------------------------------------- what a shop may allow
[permissions]
orp_adjustment = false        # an ORP sensor is checked, not adjusted (common practice)

# ---------------------------------------------------------------- limit profiles
# default: what process shops commonly use. Holds everywhere.
[profile.default]
efficiency_new_pct = { value = 90, source = "common practice: accept a new sensor from 90 %", class = "common practice" }
efficiency_maintenance_pct = { value = 80, source = "common practice: do maintenance below 80 %", class = "common practice" }
efficiency_use_pct = { value = 70, source = "common practice: below 70 % no better than 0.1 pH", class = "common practice" }
efficiency_high_warn_pct = { value = 103, source = "common practice: more is a standard, temperature or typing error", class = "common practice" }
efficiency_high_refuse_pct = { value = 105, source = "common practice: more cannot be used", class = "common practice" }
offset_maintenance_mv = { value = 50, source = "common practice: within 50 mV of zero in pH 7", class = "common practice" }
offset_use_mv = { value = inf, source = "none in this profile", class = "common practice" }
t90_maintenance_s = { value = 120, source = "common practice: over two minutes it is slow", class = "common practice" }
least_wait_s = { value = 30, source = "common practice: let a reading settle for 30 s or more", class = "common practice" }
wait_per_t90 = { value = 2, source = "one t90 costs 10 % of the step, two cost 1 % (electrode equation)", class = "law" }
legs_differ_pct = { value = 3, source = "common practice: legs more than 3 % apart question the alkaline bottle", class = "common practice" }
orp_offset_maintenance_mv = { value = 20, source = "common practice: realistic accuracy of process ORP", class = "common practice" }
orp_offset_use_mv = { value = 40, source = "common practice: replace or service beyond 40 mV", class = "common practice" }
orp_span_maintenance_pct = { value = 90, source = "common practice: two standards at least 90 % of the way apart", class = "common practice" }
orp_span_use_pct = { value = 80, source = "common practice: below 80 % after polishing it is done", class = "common practice" }
orp_span_failure_pct = { value = 40, source = "our choice: under half the way no standard can be told from another", class = "assumed" }
reference_kohm = { value = 50, source = "usual alarm of analysers with a reference test", class = "memory" }
glass_low_mohm = { value = 10, source = "common practice, general glass at 25 degC: broken or shunted below 5 to 10", class = "memory" }
glass_high_mohm = { value = 600, source = "common practice, general glass at 25 degC: aged or coated above", class = "memory" }

# process: closer control; the middle of the field of published process limits.
[profile.process]
efficiency_new_pct = { value = 95, source = "incoming inspection of process shops, 95 to 102 %", class = "common practice" }
efficiency_maintenance_pct = { value = 92, source = "middle of published process limits (90 to 95 %): service below", class = "common practice" }
efficiency_use_pct = { value = 85, source = "middle of published process limits (80 to 91 %): do not return to service below", class = "common practice" }
efficiency_high_warn_pct = { value = 103, source = "common practice: more is a standard, temperature or typing error", class = "common practice" }
efficiency_high_refuse_pct = { value = 105, source = "common practice: more cannot be used", class = "common practice" }
offset_maintenance_mv = { value = 30, source = "half a pH unit, the limit of common analysers; USP <791> asks the same", class = "standard" }
offset_use_mv = { value = 60, source = "one pH unit: beyond it the reference is done", class = "common practice" }
t90_maintenance_s = { value = 60, source = "service from one to two minutes", class = "common practice" }
least_wait_s = { value = 60, source = "never less than a minute in a two-point calibration", class = "common practice" }
wait_per_t90 = { value = 2, source = "one t90 costs 10 % of the step, two cost 1 % (electrode equation)", class = "law" }
legs_differ_pct = { value = 3, source = "common practice: legs more than 3 % apart question the alkaline bottle", class = "common practice" }
orp_offset_maintenance_mv = { value = 20, source = "common practice: realistic accuracy of process ORP", class = "common practice" }
orp_offset_use_mv = { value = 40, source = "published replacement limit", class = "common practice" }
orp_span_maintenance_pct = { value = 90, source = "common practice: two standards at least 90 % of the way apart", class = "common practice" }
orp_span_use_pct = { value = 80, source = "common practice: below 80 % after polishing it is done", class = "common practice" }
orp_span_failure_pct = { value = 40, source = "our choice: under half the way no standard can be told from another", class = "assumed" }
reference_kohm = { value = 50, source = "usual alarm of analysers with a reference test", class = "memory" }
glass_low_mohm = { value = 10, source = "common practice, general glass at 25 degC: broken or shunted below 5 to 10", class = "memory" }
glass_high_mohm = { value = 600, source = "common practice, general glass at 25 degC: aged or coated above", class = "memory" }

# agency: field measurement to the rules of a water agency.
[profile.agency]
efficiency_new_pct = { value = 95, source = "USGS TM 9-A6.4 (2021) 3.1, 4.0: 95 to 101 % after calibration", class = "standard" }
efficiency_maintenance_pct = { value = 95, source = "USGS TM 9-A6.4 (2021) 3.1, 4.0: outside, clean, recondition or replace", class = "standard" }
efficiency_use_pct = { value = 95, source = "USGS TM 9-A6.4 (2021) 3.1, 4.0: do not use if still outside", class = "standard" }
efficiency_high_warn_pct = { value = 101, source = "USGS TM 9-A6.4 (2021) 3.1, 4.0: 95 to 101 % after calibration", class = "standard" }
efficiency_high_refuse_pct = { value = 101, source = "USGS TM 9-A6.4 (2021) 3.1, 4.0: do not use if still outside", class = "standard" }
offset_maintenance_mv = { value = 15, source = "USGS TM 9-A6.4 (2021) 4.0: 15 mV in pH 7.00", class = "standard" }
offset_use_mv = { value = 30, source = "USP <791>: half a pH unit", class = "standard" }
t90_maintenance_s = { value = 120, source = "USGS TM 9-A6.4 (2021) 4.0: slow beyond two minutes", class = "standard" }
least_wait_s = { value = 60, source = "USGS TM 9-A6.4 (2021) 4.0: a healthy sensor is steady in one to two minutes", class = "standard" }
wait_per_t90 = { value = 2, source = "one t90 costs 10 % of the step, two cost 1 % (electrode equation)", class = "law" }
legs_differ_pct = { value = 3, source = "common practice: legs more than 3 % apart question the alkaline bottle", class = "common practice" }
orp_offset_maintenance_mv = { value = 5, source = "USGS TWRI 9-A6.5 v1.2 (2005): 5 mV of the table", class = "standard" }
orp_offset_use_mv = { value = 10, source = "USGS TWRI 9-A6.5 v1.2 (2005): duplicates agree within 10 mV", class = "standard" }
orp_span_maintenance_pct = { value = 95, source = "our choice, as for the pH efficiency of this profile", class = "assumed" }
orp_span_use_pct = { value = 90, source = "our choice: the working limit of process shops", class = "assumed" }
orp_span_failure_pct = { value = 40, source = "our choice: under half the way no standard can be told from another", class = "assumed" }
reference_kohm = { value = 50, source = "usual alarm of analysers with a reference test", class = "memory" }
glass_low_mohm = { value = 10, source = "common practice, general glass at 25 degC: broken or shunted below 5 to 10", class = "memory" }
glass_high_mohm = { value = 600, source = "common practice, general glass at 25 degC: aged or coated above", class = "memory" }

# Which profile holds where: by model, else by loop class, else by site. As shipped nothing is assigned.
#     [[assign]]
#     loop_class = "permit"
#     profile = "process"

# ---------------------------------------------------------------- uncertainty budget (standard uncertainties)
[budget]
u_reading_mv = { value = 0.4, source = "handheld meter", class = "memory" }
u_settling_first_mv = { value = 0.3, source = "first standard of a phase", class = "memory" }
u_settling_later_mv = { value = 0.6, source = "from the second standard on", class = "memory" }
u_thermometer_k = { value = 0.5, source = "thermometer in the standard", class = "memory" }
u_thermometer_carried_k = { value = 1.0, source = "carried over, the sensor''s own, or not stated", class = "memory" }
u_thermometer_guessed_k = { value = 2.0, source = "guessed", class = "memory" }
u_zero_mv = { value = 1.5, source = "wander of the zero within a day", class = "assumed" }
u_zero_after_acid_mv = { value = 4.0, source = "within 6 h of acid", class = "assumed" }
u_junction_clean_ph = { value = 0.05, source = "junction potential, clean process", class = "assumed" }
u_junction_dirty_ph = { value = 0.12, source = "junction potential, dirty process", class = "assumed" }
u_junction_pure_ph = { value = 0.20, source = "junction potential, pure water", class = "assumed" }
u_ideal_slope_pct = { value = 5.0, source = "slope taken as ideal when nothing better is known", class = "assumed" }

# ---------------------------------------------------------------- days a standard lasts once opened
[open_life]
"*" = { value = 90, source = "common practice, capped bottle", class = "common practice" }
"ph1.68" = { value = 90, source = "common practice, capped bottle", class = "common practice" }
"ph4.00" = { value = 90, source = "common practice, capped bottle", class = "common practice" }
"ph4.01" = { value = 90, source = "common practice, capped bottle", class = "common practice" }
"ph6.86" = { value = 90, source = "common practice, capped bottle", class = "common practice" }
"ph7.00" = { value = 90, source = "common practice, capped bottle", class = "common practice" }
"ph9.18" = { value = 30, source = "common practice: takes up carbon dioxide once opened", class = "common practice" }
"ph10.01" = { value = 30, source = "common practice: takes up carbon dioxide once opened", class = "common practice" }
"ph12.45" = { value = 7, source = "common practice: takes up carbon dioxide once opened", class = "common practice" }
"zobell" = { value = 7, source = "ferri/ferrocyanide: a week opened", class = "memory" }
"light" = { value = 30, source = "ferrous/ferric in acid: a month opened", class = "memory" }
"quinhydrone_ph4" = { value = 0.33, source = "ASTM D1498 as quoted in a secondary text: 8 h", class = "standard" }
"quinhydrone_ph7" = { value = 0.33, source = "ASTM D1498 as quoted in a secondary text: 8 h", class = "standard" }

# ---------------------------------------------------------------- bands that findings are made from
[numbers.diagnosis]
dead_low_pct = { value = -50, source = "between this and the next figure a sensor does not respond", class = "assumed" }
dead_high_pct = { value = 25, source = "between the last figure and this one a sensor does not respond", class = "assumed" }
alike_mv = { value = 20, source = "two standards a pH or more apart read alike", class = "common practice" }
alike_apart_ph = { value = 1, source = "standards closer than this say nothing about a dead sensor", class = "common practice" }
short_mv = { value = 3, source = "a shorted input reads zero in every standard", class = "common practice" }
swap_low_pct = { value = 97, source = "an exchange that explains a set brings every leg between this", class = "assumed" }
swap_high_pct = { value = 101, source = "and this", class = "assumed" }
swap_offset_mv = { value = 60, source = "and leaves the offset of a sensor that can exist", class = "assumed" }
swap_near_mv = { value = 5, source = "and comes this near to the last offset", class = "assumed" }
offset_poisoned_mv = { value = 60, source = "offset of a poisoned reference, good slope or not", class = "common practice" }
offset_notable_mv = { value = 20, source = "common practice: good within 20 mV", class = "common practice" }
trend_falling_mv_month = { value = -0.7, source = "chloride leaching; 25.7 mV a month for all of it (electrode equation)", class = "assumed" }
trend_rising_mv_month = { value = 2, source = "faster than wear: the silver element is being reached", class = "assumed" }
trend_least_readings = { value = 3, source = "fewer as-left offsets make no trend", class = "assumed" }
trend_least_days = { value = 42, source = "shorter spans are scatter of 2 to 3 mV", class = "assumed" }
efficiency_low_pct = { value = 92, source = "below, something may be wrong although no limit is broken", class = "assumed" }
efficiency_drop_pct = { value = 3, source = "noise of a two-point efficiency is 0.65 to 1 %", class = "assumed" }
slow_ratio = { value = 2, source = "t90 against the sensor''s own first value", class = "assumed" }
very_slow_ratio = { value = 6, source = "t90 against the sensor''s own first value", class = "assumed" }
slow_s = { value = 60, source = "slow where no first value is known", class = "common practice" }
glass_low_ratio = { value = 0.3, source = "glass resistance against its own first value at 25 degC: thinned", class = "common practice" }
glass_high_ratio = { value = 3, source = "glass resistance against its own first value at 25 degC: aged, coated or dry", class = "common practice" }
glass_low_flat_mohm = { value = 20, source = "flat or hardened glass without a first value", class = "memory" }
glass_high_flat_mohm = { value = 1000, source = "flat or hardened glass without a first value", class = "memory" }
glass_low_hf_mohm = { value = 2, source = "fluoride-resistant glass without a first value", class = "memory" }
glass_high_hf_mohm = { value = 500, source = "fluoride-resistant glass without a first value", class = "memory" }
reference_notable_kohm = { value = 20, source = "common practice: watch from here", class = "common practice" }
reference_blocked_kohm = { value = 100, source = "common practice: blocked or dry", class = "common practice" }
noise_mv = { value = 2, source = "steadier when all is well", class = "memory" }
noise_open_mv = { value = 20, source = "moves with the hand: an open lead", class = "assumed" }
open_mv = { value = 600, source = "more than any standard can give (14 pH at 0 degC are 760 mV, 4 to 10 are 180): off scale", class = "assumed" }
hysteresis_mv = { value = 3, source = "pH 7, 4 and 7 again", class = "memory" }
grab_ph = { value = 0.15, source = "agreement of loop and grab sample", class = "assumed" }
grab_dirty_factor = { value = 1.5, source = "in a dirty process", class = "assumed" }
grab_pure_factor = { value = 0.5, source = "in pure water", class = "assumed" }
dilution_ph = { value = 7.06, source = "pH 6.86 diluted 1 + 9", class = "memory" }
dilution_tolerance_ph = { value = 0.05, source = "of the dilution test", class = "memory" }
stir_ph = { value = 0.05, source = "stirred less still", class = "memory" }
reread_pct = { value = 2, source = "better by this much when read three minutes later", class = "assumed" }
thermometer_k = { value = 1, source = "common practice: 0.5 good, 1 to be looked into", class = "common practice" }
dry_hours = { value = 24, source = "common practice: less than a day dry needs pH 7, longer needs weak acid", class = "common practice" }
dry_recent_h = { value = 1, source = "shorter than this leaves no trace", class = "assumed" }
alkali_ph = { value = 11, source = "USGS TM 9-A6.4: sodium error begins about pH 11", class = "standard" }
service_interval_days = { value = 56, source = "a cure that has to be repeated within this did not last", class = "assumed" }
gate_drift_mv_month = { value = 10, source = "ISFET gate drift that does not settle", class = "assumed" }
gate_efficiency_pct = { value = 90, source = "an ISFET gate below this is attacked", class = "memory" }
gate_offset_mv = { value = 100, source = "a leaking gate", class = "memory" }
baseline_drop_pct = { value = 10, source = "antimony against its own first efficiency", class = "assumed" }
orp_alike_mv = { value = 10, source = "two standards off by the same millivolts", class = "assumed" }
orp_table_mv = { value = 6, source = "a difference between two fillings explains the offset this well", class = "assumed" }
orp_settle_s = { value = 120, source = "a clean metal settles within two minutes in a strong standard", class = "common practice" }
u_margin = { value = 2, source = "a change counts from twice its standard uncertainty", class = "assumed" }

# ---------------------------------------------------------------- money (currency units of the book) and planning
[numbers]
labour_rate = { value = 1, source = "per minute", class = "assumed" }
repeat_visit = { value = 60, source = "a second attendance because the first did not cure", class = "assumed" }
weeks_to_next_round = { value = 4, source = "where no round is planned", class = "assumed" }
[numbers.consequence]        # per week out of tolerance, by loop class
indication = { value = 10, source = "by loop class", class = "assumed" }
control = { value = 50, source = "by loop class", class = "assumed" }
quality = { value = 150, source = "by loop class", class = "assumed" }
alarm = { value = 150, source = "by loop class", class = "assumed" }
permit = { value = 500, source = "by loop class", class = "assumed" }
interlock = { value = 1000, source = "by loop class", class = "assumed" }
unknown = { value = 10, source = "class not recorded: taken as an indication", class = "assumed" }
[numbers.condition_probability]   # a task falls due when the chance of being out reaches this
indication = { value = 0.40, source = "by loop class", class = "assumed" }
control = { value = 0.20, source = "by loop class", class = "assumed" }
quality = { value = 0.10, source = "by loop class", class = "assumed" }
alarm = { value = 0.10, source = "by loop class", class = "assumed" }
permit = { value = 0.10, source = "by loop class", class = "assumed" }
interlock = { value = 0.05, source = "by loop class", class = "assumed" }
unknown = { value = 0.40, source = "class not recorded: taken as an indication", class = "assumed" }
[numbers.window]
early_share = { value = 0.25, source = "a task may be done this share of its interval early", class = "assumed" }
grace_share = { value = 0.20, source = "and this share late", class = "assumed" }
grace_days = { value = 14, source = "but not later than this", class = "assumed" }
[numbers.plan]
lambda_per_minute = { value = 0.2, source = "a minute of the round is worth this", class = "assumed" }
wrench_time = { value = 0.65, source = "common practice: 60 to 70 % of a shift is work at the sensor", class = "common practice" }
area_setup_minutes = { value = 20, source = "to open an area: permit and travel; an area''s own figure as area_setup_minutes.\"AREA\" beside it", class = "assumed" }
shift_minutes = { value = 450, source = "a shift less breaks, where none is recorded", class = "assumed" }
walk_minutes = { value = 3, source = "between two points, where none is recorded", class = "assumed" }
ritual_minutes = { value = 6, source = "manual and back to auto, once a visit", class = "memory" }
[numbers.task_minutes]       # hands on, one sensor
verify = { value = 12, source = "grab sample or one standard", class = "memory" }
clean = { value = 12, source = "as found, clean, as left", class = "memory" }
check = { value = 10, source = "two standards, nothing adjusted", class = "memory" }
check_orp = { value = 15, source = "two redox standards", class = "memory" }
calibrate = { value = 20, source = "two points", class = "memory" }
service = { value = 40, source = "clean, refill or bridge, calibrate", class = "memory" }
refill_reference = { value = 15, source = "without the calibration", class = "memory" }
replace_bridge = { value = 45, source = "bridge with cell solution and calibration", class = "memory" }
replace = { value = 25, source = "swap with a ready spare", class = "memory" }
fault = { value = 45, source = "finding a fault, 30 to 90", class = "memory" }
storage_solution = { value = 3, source = "fresh solution in the cap", class = "assumed" }
shelf_check = { value = 10, source = "two standards at the bench", class = "memory" }
grab_check = { value = 12, source = "after a swap or a new bridge", class = "memory" }
lot = { value = 3, source = "discard and open a bottle", class = "assumed" }
equipment = { value = 20, source = "meter or thermometer against a better one", class = "assumed" }
[numbers.task_elapsed_minutes]
verify = { value = 15, source = "common practice", class = "memory" }
clean = { value = 20, source = "common practice", class = "memory" }
check = { value = 12, source = "common practice", class = "memory" }
check_orp = { value = 20, source = "common practice", class = "memory" }
calibrate = { value = 25, source = "common practice", class = "memory" }
service = { value = 90, source = "with an hour of conditioning", class = "memory" }
refill_reference = { value = 80, source = "settles 1 to 24 h; looked at again the same day", class = "memory" }
replace_bridge = { value = 240, source = "settles 1 to 4 h", class = "memory" }
replace = { value = 25, source = "common practice", class = "memory" }
fault = { value = 60, source = "common practice", class = "memory" }
storage_solution = { value = 3, source = "common practice", class = "assumed" }
shelf_check = { value = 12, source = "common practice", class = "memory" }
grab_check = { value = 15, source = "common practice", class = "memory" }
lot = { value = 3, source = "common practice", class = "assumed" }
equipment = { value = 30, source = "common practice", class = "assumed" }
[numbers.kit]                # what a round carries
buffer_ml = { value = 60, source = "a dip, and a rinse pour in each area", class = "common practice" }
buffer_factor = { value = 1.25, source = "spills and a second look", class = "assumed" }
orp_standard_ml = { value = 50, source = "a dip", class = "common practice" }
electrolyte_ml = { value = 10, source = "a combination sensor", class = "common practice" }
cell_solution_ml = { value = 30, source = "a differential cell with its two rinses", class = "common practice" }
cleaner_ml = { value = 50, source = "one sensor", class = "common practice" }
rinse_ml = { value = 250, source = "one sensor", class = "common practice" }
[numbers.part_price]         # consumables of an action
bridge = { value = 45, source = "bridge with its cell solution", class = "assumed" }
electrolyte = { value = 8, source = "a refill", class = "assumed" }
clean = { value = 6, source = "cleaner, wipes, standards", class = "assumed" }
clear_junction = { value = 6, source = "cleaner, wipes, standards", class = "assumed" }
recheck = { value = 4, source = "standards", class = "assumed" }
rehydrate = { value = 4, source = "standards", class = "assumed" }
regenerate = { value = 6, source = "acid, alkali, standards", class = "assumed" }
wiring = { value = 4, source = "drying packet, seal", class = "assumed" }
[numbers.price]              # of a sensor, where the model has none
ph = { value = 250, source = "where the model has no price", class = "assumed" }
orp = { value = 250, source = "where the model has no price", class = "assumed" }
change = { value = 330, source = "another design, where the model has no price", class = "assumed" }
[numbers.review]
service = { value = 60, source = "a service visit", class = "assumed" }
fitting = { value = 30, source = "putting a new sensor in", class = "assumed" }
call_out = { value = 150, source = "a dead sensor between rounds", class = "assumed" }
change = { value = 20, source = "changing the design: holder, records", class = "assumed" }
discount_month = { value = 0.995, source = "money next month", class = "assumed" }
horizon_months = { value = 12, source = "the difference is spread over this", class = "assumed" }
loss_a = { value = 0, source = "a month at 95 % and above, control loop", class = "assumed" }
loss_b = { value = 5, source = "a month at 90 to 95 %, control loop", class = "assumed" }
loss_c = { value = 30, source = "a month at 85 to 90 %, control loop", class = "assumed" }
loss_d = { value = 150, source = "a month below 85 % or out of limits, control loop", class = "assumed" }
loss_x = { value = 400, source = "a month dead, control loop", class = "assumed" }
loss_consequence = { value = 50, source = "the consequence the losses above are meant for", class = "assumed" }
rate_a = { value = 0.15, source = "a month: leaves 95 % and above", class = "assumed" }
rate_b = { value = 0.20, source = "a month: leaves 90 to 95 %", class = "assumed" }
rate_c = { value = 0.30, source = "a month: leaves 85 to 90 %", class = "assumed" }
hazard = { value = 0.01, source = "a month: sudden failure", class = "assumed" }
service_b_to_a = { value = 0.5, source = "the first service", class = "assumed" }
service_c_to_a = { value = 0.1, source = "the first service", class = "assumed" }
service_c_to_b = { value = 0.6, source = "the first service", class = "assumed" }
service_d_to_b = { value = 0.1, source = "the first service", class = "assumed" }
service_d_to_c = { value = 0.55, source = "the first service", class = "assumed" }
service_again = { value = 0.6, source = "each further service does this share of the one before", class = "assumed" }
design_factor = { value = 0.7, source = "wear of a better suited design", class = "assumed" }
close_call = { value = 0.60, source = "below this chance of being best it is a close call", class = "assumed" }
[numbers.spare_level]        # chance of not running out within lead time and review period
indication = { value = 0.90, source = "by the worst class served", class = "assumed" }
control = { value = 0.95, source = "by the worst class served", class = "assumed" }
quality = { value = 0.95, source = "by the worst class served", class = "assumed" }
alarm = { value = 0.98, source = "by the worst class served", class = "assumed" }
permit = { value = 0.98, source = "by the worst class served", class = "assumed" }
interlock = { value = 0.99, source = "by the worst class served", class = "assumed" }
unknown = { value = 0.90, source = "class not recorded", class = "assumed" }
[numbers.spare]
dead_on_arrival = { value = 0.015, source = "a new sensor that does not work", class = "assumed" }
dead_on_arrival_old = { value = 0.05, source = "the same after 24 months on the shelf", class = "assumed" }
shelf_months = { value = 24, source = "older than this: test before use", class = "memory" }
lead_time_days = { value = 42, source = "where the model has none", class = "assumed" }
review_days = { value = 28, source = "between two orders", class = "assumed" }

# ---------------------------------------------------------------- which film, by application and look (per cent)
# Prior by application, and how often a film of each kind looks hard, smeared, slippery or slimy. All assumed; a shop''s own confirmed
# causes are better.
[numbers.film."*"]
scale = { value = 45, source = "prior by application", class = "assumed" }
grease = { value = 20, source = "prior by application", class = "assumed" }
protein = { value = 10, source = "prior by application", class = "assumed" }
biofilm = { value = 25, source = "prior by application", class = "assumed" }
[numbers.film.drinking_water]
scale = { value = 50, source = "prior by application", class = "assumed" }
grease = { value = 5, source = "prior by application", class = "assumed" }
protein = { value = 5, source = "prior by application", class = "assumed" }
biofilm = { value = 40, source = "prior by application", class = "assumed" }
[numbers.film.wastewater]
scale = { value = 15, source = "prior by application", class = "assumed" }
grease = { value = 35, source = "prior by application", class = "assumed" }
protein = { value = 20, source = "prior by application", class = "assumed" }
biofilm = { value = 30, source = "prior by application", class = "assumed" }
[numbers.film.caustic]
scale = { value = 80, source = "prior by application", class = "assumed" }
grease = { value = 10, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 10, source = "prior by application", class = "assumed" }
[numbers.film.cooling]
scale = { value = 50, source = "prior by application", class = "assumed" }
grease = { value = 5, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 45, source = "prior by application", class = "assumed" }
[numbers.film.pure_water]
scale = { value = 80, source = "prior by application", class = "assumed" }
grease = { value = 10, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 10, source = "prior by application", class = "assumed" }
[numbers.film.bleach]
scale = { value = 60, source = "prior by application", class = "assumed" }
grease = { value = 35, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 5, source = "prior by application", class = "assumed" }
[numbers.film.food]
scale = { value = 20, source = "prior by application", class = "assumed" }
grease = { value = 15, source = "prior by application", class = "assumed" }
protein = { value = 60, source = "prior by application", class = "assumed" }
biofilm = { value = 5, source = "prior by application", class = "assumed" }
[numbers.film.pool]
scale = { value = 40, source = "prior by application", class = "assumed" }
grease = { value = 45, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 15, source = "prior by application", class = "assumed" }
[numbers.film.plating]
scale = { value = 75, source = "prior by application", class = "assumed" }
grease = { value = 20, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 5, source = "prior by application", class = "assumed" }
[numbers.film.flotation]
scale = { value = 85, source = "prior by application", class = "assumed" }
grease = { value = 14, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 1, source = "prior by application", class = "assumed" }
[numbers.film.scrubber]
scale = { value = 95, source = "prior by application", class = "assumed" }
grease = { value = 3, source = "prior by application", class = "assumed" }
protein = { value = 0, source = "prior by application", class = "assumed" }
biofilm = { value = 2, source = "prior by application", class = "assumed" }
[numbers.film_look.scale]
hard = { value = 85, source = "look of the film", class = "assumed" }
smear = { value = 5, source = "look of the film", class = "assumed" }
slippery = { value = 5, source = "look of the film", class = "assumed" }
slime = { value = 5, source = "look of the film", class = "assumed" }
[numbers.film_look.grease]
hard = { value = 5, source = "look of the film", class = "assumed" }
smear = { value = 80, source = "look of the film", class = "assumed" }
slippery = { value = 10, source = "look of the film", class = "assumed" }
slime = { value = 5, source = "look of the film", class = "assumed" }
[numbers.film_look.protein]
hard = { value = 5, source = "look of the film", class = "assumed" }
smear = { value = 10, source = "look of the film", class = "assumed" }
slippery = { value = 70, source = "look of the film", class = "assumed" }
slime = { value = 15, source = "look of the film", class = "assumed" }
[numbers.film_look.biofilm]
hard = { value = 5, source = "look of the film", class = "assumed" }
smear = { value = 5, source = "look of the film", class = "assumed" }
slippery = { value = 15, source = "look of the film", class = "assumed" }
slime = { value = 75, source = "look of the film", class = "assumed" }

# How often what is done, by application and design, and how long a sensor usually lasts there.
#
# [intervals.APPLICATION] holds for an application of points.csv, [intervals."*"] for any other. A task is { days, design, source,
# class } or a list of such; `design` is a reference or sensing key or a list of them, left out it is any. The closest match counts:
# application and design, application alone, design alone, neither. Tasks without a line have no interval there; `days = 0` takes
# one away. `source` and `class` of a table hold for its lines that have none.
# A task whose action the design forbids (a refill of a sealed sensor, an adjustment of ORP) never falls due, whatever stands here.
# The salt bridge is changed at least yearly and not at every refill (common practice); a longer interval is refused.
# Bottles follow their open life (limits.toml) and label; replacing and fault finding follow the condition.
#
# Every interval is a starting point: published ones differ ten-fold between processes, and a site''s own as-found history is the
# better guide. Source of the tables: common practice, a middle of published ranges that fits weekly rounds. Tests that operators do
# daily or each shift are no task of this book; `verify` is the shop''s own look.
# `life_months` are short, usual and long lives until replacement for any cause.

[intervals."*"]
source = "common practice"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 28 },
    { days = 14, design = ["platinum", "gold"] },
]
check = { days = 28 }
calibrate = { days = 28 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 60, design = ["double_refillable", "liquid_refillable"] },
    { days = 182, design = "differential_bridge", source = "common practice: cell solution with the bridge; half way in between", class = "assumed" },
]
replace_bridge = { days = 365, design = "differential_bridge", source = "common practice: at least yearly" }
storage_solution = { days = 90, source = "common practice: when dried, or three-monthly" }
shelf_check = { days = 90, source = "common practice: test again after three months" }
grab_check = { days = 1, source = "common practice: an hour and a day after a swap or a new bridge" }
equipment = { days = 365, source = "common practice: thermometer and meter yearly; USGS A6.4 asks the same of thermometers" }
life_months = { short = 9, usual = 18, long = 30, class = "memory" }

# raw, filtered, final: little harm; chlorine, iron, soft water
[intervals.drinking_water]
source = "common practice: verify 1 to 2 weeks, clean and calibrate 1 to 3 months, refill 3 to 6 months, bridge a year"
class = "common practice"
verify = { days = 14 }
clean = [
    { days = 56 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 28 },
    { days = 28, design = ["platinum", "gold"] },
]
calibrate = { days = 56 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 120, design = ["double_refillable", "liquid_refillable"] },
    { days = 182, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 365, design = "differential_bridge" }
life_months = { short = 12, usual = 24, long = 36, class = "memory" }

# influent, aeration, effluent: rag, grease, biofilm
[intervals.wastewater]
source = "common practice: verify weekly, clean 1 to 4 weeks, calibrate 2 to 4 weeks, refill 1 to 3 months, bridge a year, half of it where dirty"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 14 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 14 },
    { days = 28, design = ["platinum", "gold"] },
]
calibrate = { days = 28 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 60, design = ["double_refillable", "liquid_refillable"] },
    { days = 90, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 182, design = "differential_bridge" }
life_months = { short = 9, usual = 18, long = 30, class = "memory" }

# neutralisation and caustic, pH 10 to 13: glass attack, carbonate scale
[intervals.caustic]
source = "common practice: verify weekly, clean 3 to 7 days, calibrate 1 to 2 weeks, refill 1 to 2 months, bridge half a year"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 14 },
    { days = 28, design = ["platinum", "gold"] },
]
calibrate = { days = 14 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 45, design = ["double_refillable", "liquid_refillable"] },
    { days = 90, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 182, design = "differential_bridge" }
life_months = { short = 3, usual = 7, long = 12, class = "memory" }

# cooling tower: scale, biofilm, biocide
[intervals.cooling]
source = "common practice: verify 1 to 2 weeks, clean 2 to 4 weeks, calibrate monthly, refill 3 months, bridge a year"
class = "common practice"
verify = { days = 14 }
clean = [
    { days = 28 },
    { days = 14, design = ["platinum", "gold"] },
]
check = [
    { days = 14 },
    { days = 28, design = ["platinum", "gold"] },
]
calibrate = { days = 28 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 90, design = ["double_refillable", "liquid_refillable"] },
    { days = 182, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 365, design = "differential_bridge" }
life_months = { short = 10, usual = 20, long = 30, class = "memory" }

# boiler, condensate, high purity: leaching, streaming
[intervals.pure_water]
source = "common practice: verify weekly, clean 1 to 3 months, calibrate monthly, refill weekly to monthly, bridge half to one year"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 56 },
    { days = 28, design = ["platinum", "gold"] },
]
check = [
    { days = 14 },
    { days = 28, design = ["platinum", "gold"] },
]
calibrate = { days = 28 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 28, design = ["double_refillable", "liquid_refillable"] },
    { days = 90, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 270, design = "differential_bridge" }
life_months = { short = 10, usual = 22, long = 32, class = "memory" }

# pulp bleaching: oxidant, heat, fibre
[intervals.bleach]
source = "common practice: verify 2 to 3 days by the operators, clean 3 to 7 days, calibrate 1 to 2 weeks, refill 2 to 4 weeks, bridge 3 to 6 months"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 14 },
    { days = 14, design = ["platinum", "gold"] },
]
calibrate = { days = 14 }
service = { days = 91, class = "assumed" }
refill_reference = [
    { days = 28, design = ["double_refillable", "liquid_refillable"] },
    { days = 60, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 120, design = "differential_bridge" }
life_months = { short = 2, usual = 5, long = 9, class = "memory" }

# food and dairy with hot cleaning in place: protein, thermal shock
[intervals.food]
source = "common practice: verify 2 to 7 days, protein soak 1 to 4 weeks, calibrate weekly in season, refill monthly, bridge half a year"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 14 },
    { days = 14, design = ["platinum", "gold"] },
]
check = [
    { days = 7 },
    { days = 14, design = ["platinum", "gold"] },
]
calibrate = { days = 7 }
service = { days = 91, class = "assumed" }
refill_reference = [
    { days = 28, design = ["double_refillable", "liquid_refillable"] },
    { days = 90, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 182, design = "differential_bridge" }
life_months = { short = 2, usual = 5, long = 9, class = "memory" }

# swimming pool: lotion, scale, chlorine
[intervals.pool]
source = "common practice: the operators test daily; clean and calibrate monthly, ORP metal 2 to 4 weeks, ORP check 1 to 3 months"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 28 },
    { days = 21, design = ["platinum", "gold"] },
]
check = [
    { days = 14 },
    { days = 28, design = ["platinum", "gold"] },
]
calibrate = { days = 28 }
service = { days = 182, class = "assumed" }
refill_reference = [
    { days = 90, design = ["double_refillable", "liquid_refillable"] },
    { days = 182, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 365, design = "differential_bridge" }
life_months = { short = 12, usual = 24, long = 36, class = "memory" }

# plating rinse, metal precipitation, chrome, cyanide: hydroxide, surfactant, metals
[intervals.plating]
source = "common practice: verify 2 to 7 days, clean and calibrate weekly, refill monthly, bridge half a year, ORP check weekly"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
calibrate = { days = 7 }
service = { days = 91, class = "assumed" }
refill_reference = [
    { days = 28, design = ["double_refillable", "liquid_refillable"] },
    { days = 60, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 182, design = "differential_bridge" }
life_months = { short = 4, usual = 9, long = 15, class = "memory" }

# flotation and lime slurry: scale in days, abrasion
[intervals.flotation]
source = "common practice: verify each shift by the operators, clean 1 to 3 days (jets in between), calibrate weekly, refill 2 to 4 weeks, bridge 3 to 6 months"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
calibrate = { days = 7 }
service = { days = 91, class = "assumed" }
refill_reference = [
    { days = 21, design = ["double_refillable", "liquid_refillable"] },
    { days = 45, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 120, design = "differential_bridge" }
life_months = { short = 2, usual = 5, long = 9, class = "memory" }

# flue-gas scrubber slurry: gypsum, abrasion, sulfite
[intervals.scrubber]
source = "common practice: verify 1 to 3 days by the operators, clean 2 to 7 days, calibrate weekly, refill 2 to 4 weeks, bridge 3 months"
class = "common practice"
verify = { days = 7 }
clean = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
check = [
    { days = 7 },
    { days = 7, design = ["platinum", "gold"] },
]
calibrate = { days = 7 }
service = { days = 91, class = "assumed" }
refill_reference = [
    { days = 21, design = ["double_refillable", "liquid_refillable"] },
    { days = 45, design = "differential_bridge", class = "assumed" },
]
replace_bridge = { days = 90, design = "differential_bridge" }
life_months = { short = 1, usual = 4, long = 8, class = "memory" }

# What a sensor''s design allows.
#
# A sensor is one `reference` half and one `sensing` half (models.csv). Per half and action:
#   offer = "yes"      may be offered
#   offer = "limited"  may be offered, with `why` beside it
#   offer = "no"       is not offered; `why` is what the program answers when it is asked for
#   offer = "other"    this half says nothing about it, the other half decides
# The two halves together: no beats limited, limited beats yes, and "other" leaves it to the half that has a word. No action is
# "other" in both halves. `why` reads on after the name of the action and a colon; on a "yes" it is a hint for doing it.
# `unless` names a permission of the adopted rule set that turns the "no" into a "yes".
# `tests` are the two resistance tests in the same words.
#
# Source: common practice for process sensors, known from memory; each shop may change it in its own rule set.

[reference.single_gel]
words = "single-junction gel"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "limited", why = "with a single junction the silver element is reached early; often too late" }
actions.clean_hypochlorite = { offer = "limited", why = "brief, a few minutes: the gel takes it up" }
actions.clear_junction = { offer = "limited", why = "not above 60 °C: gel shrinks and leaves voids" }
actions.scrape_junction = { offer = "no", why = "a small fixed junction would be destroyed" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "no", why = "a single-junction gel sensor is sealed; there is nothing to refill" }
actions.replace_bridge = { offer = "no", why = "its junction is part of the body; there is no bridge to change" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life, and the gain lasts weeks; keep the junction out of it" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "yes" }

[reference.double_gel]
words = "double-junction gel"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "yes", why = "reaches the outer junction only" }
actions.clean_hypochlorite = { offer = "limited", why = "brief, a few minutes: the gel takes it up" }
actions.clear_junction = { offer = "limited", why = "not above 60 °C: gel shrinks and leaves voids" }
actions.scrape_junction = { offer = "no", why = "a small fixed junction would be destroyed" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "no", why = "a double-junction gel sensor is sealed; there is nothing to refill" }
actions.replace_bridge = { offer = "no", why = "its junctions are part of the body; there is no bridge to change" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life, and the gain lasts weeks; keep the junction out of it" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "yes" }

[reference.double_refillable]
words = "double-junction refillable"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "yes", why = "then change the outer electrolyte twice" }
actions.clean_hypochlorite = { offer = "limited", why = "brief, and change the outer electrolyte if it smells of chlorine" }
actions.clear_junction = { offer = "yes" }
actions.scrape_junction = { offer = "limited", why = "only where the junction is a wide porous face" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "yes", why = "the outer chamber; the inner one once a year or never" }
actions.replace_bridge = { offer = "no", why = "this design has no screw-in bridge" }
actions.regenerate_glass = { offer = "yes", why = "once or twice in a life; refill afterwards" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "yes" }

[reference.liquid_refillable]
words = "liquid-filled refillable"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "yes", why = "then change the electrolyte twice" }
actions.clean_hypochlorite = { offer = "yes", why = "then change the electrolyte" }
actions.clear_junction = { offer = "yes" }
actions.scrape_junction = { offer = "limited", why = "a sleeve is taken off and wiped, not scraped; leave a ceramic plug alone" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "yes" }
actions.replace_bridge = { offer = "no", why = "this design has no screw-in bridge" }
actions.regenerate_glass = { offer = "yes", why = "once or twice in a life; refill afterwards" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "yes" }

[reference.polymer_open]
words = "solid polymer, open aperture"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "limited", why = "a quick wipe of the glass; no other solvent: it attacks the polymer" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "no", why = "the open polymer takes the cleaner up and carries it to the element" }
actions.clean_hypochlorite = { offer = "limited", why = "brief, a few minutes: the open polymer takes it up" }
actions.clear_junction = { offer = "no", why = "heat damages the polymer" }
actions.scrape_junction = { offer = "no", why = "the aperture is open polymer; scraping opens the element to the process" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes", why = "and never let it dry: the polymer does not come back" }
actions.refill_reference = { offer = "no", why = "the electrolyte is a solid polymer; there is nothing to refill" }
actions.replace_bridge = { offer = "no", why = "its aperture is open; there is no bridge to change" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life, and the gain lasts weeks; keep the aperture out of it" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "yes", why = "very low when in order" }

[reference.large_junction]
words = "large porous junction"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes", why = "then soak long: a wide junction holds acid" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "limited", why = "a wide junction holds the cleaner; rinse and soak long" }
actions.clean_hypochlorite = { offer = "limited", why = "brief: a wide junction holds it, and acid must not follow" }
actions.clear_junction = { offer = "limited", why = "not above 60 °C where the filling is gel" }
actions.scrape_junction = { offer = "yes", why = "the outermost face, wet; keep clear of the glass" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "limited", why = "only where the model has a filling port" }
actions.replace_bridge = { offer = "limited", why = "only where the model''s junction unscrews" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life, and the gain lasts weeks; keep the junction out of it" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "yes" }

[reference.differential_bridge]
words = "differential with buffered cell and bridge"
actions.clean_detergent = { offer = "yes", why = "no soap with lanolin: it films the glass and the bridge" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes", why = "five minutes at most: acid that passes the bridge spoils the cell" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "no", why = "no silver stands at the process side; there is no silver sulfide to dissolve" }
actions.clean_hypochlorite = { offer = "limited", why = "brief: what passes the bridge stays in the cell" }
actions.clear_junction = { offer = "no", why = "heat drives the cell solution out; change the bridge with its cell solution instead" }
actions.scrape_junction = { offer = "no", why = "the bridge unscrews; change it with its cell solution instead" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "yes", why = "fresh cell solution; with a gelled cell only as its maker says" }
actions.replace_bridge = { offer = "yes", why = "always with fresh cell solution" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life; keep acid and alkali off the bridge" }
actions.polish_metal = { offer = "other" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "other" }
tests.reference_resistance = { offer = "limited", why = "its reference is a second glass in the cell: measure both, and judge by their own first values" }

[sensing.bulb]
words = "bulb glass"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "yes" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "other" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "yes", why = "once or twice in a life" }
actions.polish_metal = { offer = "no", why = "this is glass; polishing scratches it for good" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "yes" }
tests.reference_resistance = { offer = "other" }

[sensing.flat]
words = "flat glass"
actions.clean_detergent = { offer = "yes", why = "brush gently, soft and wet" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "yes" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "other" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes", why = "slower than a bulb" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life, and a flat glass gains little" }
actions.polish_metal = { offer = "no", why = "this is glass; polishing scratches it for good" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "yes", why = "higher than a bulb when in order" }
tests.reference_resistance = { offer = "other" }

[sensing.hardened]
words = "hardened or high-temperature glass"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "yes" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "other" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes", why = "this glass takes 24 h" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "limited", why = "once or twice in a life, and a thick glass gains little" }
actions.polish_metal = { offer = "no", why = "this is glass; polishing scratches it for good" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "yes", why = "higher than general glass when in order" }
tests.reference_resistance = { offer = "other" }

[sensing.hf_resistant]
words = "fluoride-resistant glass"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes", why = "only after a neutral rinse: fluoride left on it and acid attack this glass too" }
actions.clean_enzyme = { offer = "yes", why = "the recipe holds acid: only after a neutral rinse" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "yes" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "other" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "yes" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "no", why = "acid and alkali in turn wear this glass away and renew nothing" }
actions.polish_metal = { offer = "no", why = "this is glass; polishing scratches it for good" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "yes", why = "lower than general glass when in order" }
tests.reference_resistance = { offer = "other" }

[sensing.isfet]
words = "ISFET"
actions.clean_detergent = { offer = "yes", why = "no brush: the gate scratches" }
actions.clean_alcohol = { offer = "yes", why = "a soft wet cloth, no brush" }
actions.clean_acid = { offer = "limited", why = "no stronger than 0.1 mol/L" }
actions.clean_enzyme = { offer = "limited", why = "short, in acid no stronger than 0.1 mol/L" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "limited", why = "brief and dilute" }
actions.clear_junction = { offer = "no", why = "heat shortens the gate''s life; soak the reference at room temperature" }
actions.scrape_junction = { offer = "no", why = "the gate stands beside the junction and scratches" }
actions.condition = { offer = "yes", why = "an hour in pH 7, powered 5 to 10 minutes before it is read" }
actions.rehydrate = { offer = "no", why = "an ISFET has no glass to rehydrate; a wet soak (condition) is all it needs" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "no", why = "an ISFET has no screw-in bridge" }
actions.regenerate_glass = { offer = "no", why = "an ISFET has no glass; alkali attacks the gate" }
actions.polish_metal = { offer = "no", why = "polishing destroys the gate" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "no", why = "an ISFET has no glass" }
tests.reference_resistance = { offer = "yes" }

[sensing.antimony]
words = "antimony"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "limited", why = "brief: acid attacks antimony" }
actions.clean_enzyme = { offer = "limited", why = "brief: the recipe holds acid" }
actions.clean_thiourea = { offer = "no", why = "the recipe holds acid that stays on for long and attacks antimony" }
actions.clean_hypochlorite = { offer = "no", why = "a strong oxidiser spoils the antimony surface" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "no", why = "antimony dust is toxic and the metal stands beside the junction" }
actions.condition = { offer = "yes" }
actions.rehydrate = { offer = "no", why = "antimony is a metal; there is no glass to rehydrate" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "no", why = "antimony is a metal; there is no glass" }
actions.polish_metal = { offer = "yes", why = "fine emery, wet, ten seconds; gloves, the dust is toxic" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "yes" }
actions.adjust = { offer = "yes" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "no", why = "antimony is a metal; there is no glass" }
tests.reference_resistance = { offer = "yes" }

[sensing.platinum]
words = "platinum"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "limited", why = "the metal then needs long to settle" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "other" }
actions.condition = { offer = "yes", why = "in the standard or the sample; a clean metal in weak water settles slowly" }
actions.rehydrate = { offer = "no", why = "platinum is a metal and needs no water layer; soak the reference (condition)" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "no", why = "platinum is a metal; there is no glass" }
actions.polish_metal = { offer = "yes", why = "the metal only, 600 grit wet or fine alumina" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "no", why = "an ORP sensor is checked, not adjusted, unless the adopted rules allow it", unless = "orp_adjustment" }
actions.adjust = { offer = "no", why = "an ORP sensor is checked, not adjusted, unless the adopted rules allow it", unless = "orp_adjustment" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "no", why = "platinum is a metal; there is no glass" }
tests.reference_resistance = { offer = "yes" }

[sensing.gold]
words = "gold"
actions.clean_detergent = { offer = "yes" }
actions.clean_alcohol = { offer = "yes" }
actions.clean_acid = { offer = "yes", why = "never hydrochloric acid together with an oxidiser: it dissolves gold" }
actions.clean_enzyme = { offer = "yes" }
actions.clean_thiourea = { offer = "other" }
actions.clean_hypochlorite = { offer = "no", why = "hypochlorite with chloride oxidises and dissolves gold" }
actions.clear_junction = { offer = "other" }
actions.scrape_junction = { offer = "other" }
actions.condition = { offer = "yes", why = "in the standard or the sample; a clean metal in weak water settles slowly" }
actions.rehydrate = { offer = "no", why = "gold is a metal and needs no water layer; soak the reference (condition)" }
actions.refill_reference = { offer = "other" }
actions.replace_bridge = { offer = "other" }
actions.regenerate_glass = { offer = "no", why = "gold is a metal; there is no glass" }
actions.polish_metal = { offer = "yes", why = "the metal only, gently: gold is soft and the band is thin" }
actions.dry_connector = { offer = "yes" }
actions.rewire = { offer = "yes" }
actions.standardise = { offer = "no", why = "an ORP sensor is checked, not adjusted, unless the adopted rules allow it", unless = "orp_adjustment" }
actions.adjust = { offer = "no", why = "an ORP sensor is checked, not adjusted, unless the adopted rules allow it", unless = "orp_adjustment" }
actions.replace = { offer = "yes" }
actions.scrap = { offer = "yes" }
tests.glass_resistance = { offer = "no", why = "gold is a metal; there is no glass" }
tests.reference_resistance = { offer = "yes" }

# What can be done to a sensor, as the bench, the plan and the handbook know it.
#
#   key              the word of the tables            letter   the key on the bench and the mark on paper
#   name             plain words after the letter      how      the step in short
#   agent, strength  what the default recipe takes; the site''s own goes before it
#   holds            what of the default recipe a caution looks for: acid, acid_buffer, alkali, hypochlorite, solvent, thiourea,
#                    hot_liquid. What a typed agent holds ([[agent]] below) is added to it
#   recipe_varies    true: a typed agent that [[agent]] knows takes the place of `holds` instead
#   minutes          hands-on, one sensor, a competent person, without way and permit; within 40 %
#   elapsed_minutes  from the start until the sensor can be read again, with the conditioning that belongs to the step
#   consumable       what one sensor takes: item, amount, unit (mL, L, piece)
#   renews           parts that start a new life with it; renews_differential instead of it on a differential sensor
#   cautions         keys of cautions.toml that can come up with it, the first to read first
#   not_on           hazards of the point where it is not offered, with not_on_why
#   source, class    where it comes from: "common practice", "standard", "assumed" (our choice)
#
# Minutes, strengths and amounts are the middle of what is done in practice, known from memory unless a source is named.

[[action]]
key = "clean_detergent"
letter = "D"
name = "detergent"
how = "Warm detergent without lanolin, soft wet brush or cloth, 5 to 15 minutes; rinse."
agent = "detergent"
strength = "0.5 %"
holds = []
minutes = 8
elapsed_minutes = 20
consumable = [{ item = "detergent without lanolin, warm", amount = 100, unit = "mL" }, { item = "rinse water", amount = 0.3, unit = "L" }, { item = "wipe", amount = 2, unit = "piece" }]
renews = []
cautions = ["broken_glass"]
source = "common practice; 0.5 % detergent for a few minutes: USGS A6.4"
class = "common practice"

[[action]]
key = "clean_alcohol"
letter = "L"
name = "alcohol"
how = "Wipe with isopropyl alcohol or ethanol for 1 to 2 minutes, after detergent; rinse and condition 10 minutes."
agent = "isopropyl alcohol"
strength = "70 %"
holds = ["solvent"]
minutes = 5
elapsed_minutes = 15
consumable = [{ item = "isopropyl alcohol", amount = 10, unit = "mL" }, { item = "wipe", amount = 2, unit = "piece" }]
renews = []
cautions = ["solvent", "broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "clean_acid"
letter = "A"
name = "acid"
how = "Weak hydrochloric acid, five minutes at most at 5 %, repeat rather than prolong; long rinse, condition one hour."
agent = "hydrochloric acid"
strength = "5 %"
holds = ["acid"]
minutes = 6
elapsed_minutes = 70
consumable = [{ item = "hydrochloric acid 5 %", amount = 50, unit = "mL" }, { item = "rinse water", amount = 0.5, unit = "L" }]
renews = []
cautions = ["cyanide_line", "sulfide_line", "acid_after_hypochlorite", "fluoride", "zobell", "acid"]
source = "common practice; 0.1 mol/L for about 30 minutes: USGS A6.4"
class = "common practice"

[[action]]
key = "clean_enzyme"
letter = "E"
name = "enzyme"
how = "Pepsin 1 % in 0.1 mol/L hydrochloric acid, made fresh, 1 to 3 hours; cold rinse first, rinse and condition after."
agent = "pepsin in hydrochloric acid"
strength = "1 % in 0.1 mol/L"
holds = ["acid"]
minutes = 8
elapsed_minutes = 120
consumable = [{ item = "pepsin 1 % in 0.1 mol/L hydrochloric acid, fresh", amount = 40, unit = "mL" }, { item = "rinse water", amount = 0.3, unit = "L" }]
renews = []
cautions = ["cyanide_line", "sulfide_line", "acid_after_hypochlorite", "fluoride", "zobell", "acid"]
source = "common practice"
class = "common practice"

[[action]]
key = "clean_thiourea"
letter = "T"
name = "thiourea"
how = "Thiourea 0.1 mol/L in 0.1 mol/L hydrochloric acid until the black junction pales, 15 to 60 minutes; then refill or condition, and look at the offset."
agent = "thiourea in hydrochloric acid"
strength = "0.1 mol/L in 0.1 mol/L"
holds = ["acid", "thiourea"]
minutes = 8
elapsed_minutes = 90
consumable = [{ item = "thiourea 0.1 mol/L in 0.1 mol/L hydrochloric acid", amount = 40, unit = "mL" }, { item = "rinse water", amount = 0.5, unit = "L" }]
renews = []
cautions = ["cyanide_line", "sulfide_line", "acid_after_hypochlorite", "fluoride", "zobell", "thiourea", "acid"]
source = "common practice"
class = "common practice"

[[action]]
key = "clean_hypochlorite"
letter = "H"
name = "hypochlorite"
how = "Wipe and detergent first; hypochlorite 0.05 to 0.1 % for 5 minutes, alone; flood rinse of a minute, a second clean vessel."
agent = "sodium hypochlorite"
strength = "0.1 %"
holds = ["hypochlorite"]
minutes = 8
elapsed_minutes = 60
consumable = [{ item = "sodium hypochlorite 0.1 %", amount = 50, unit = "mL" }, { item = "rinse water", amount = 2, unit = "L" }]
renews = []
cautions = ["hypochlorite_after_acid", "hypochlorite"]
not_on = ["cyanide"]
not_on_why = "hypochlorite on cyanide residue can set poisonous cyanogen chloride free"
source = "common practice; bleach 1 in 10 for about 30 minutes: USGS A6.4"
class = "common practice"

[[action]]
key = "clear_junction"
letter = "J"
name = "clear junction"
how = "3 mol/L KCl at 60 to 80 °C for 10 to 20 minutes, let it cool in cold KCl; gel not above 60 °C."
agent = "3M KCl, warm"
strength = "3 mol/L, 60 °C"
holds = ["hot_liquid"]
minutes = 6
elapsed_minutes = 90
consumable = [{ item = "3M KCl", amount = 120, unit = "mL" }]
renews = []
cautions = ["warm_kcl", "broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "scrape_junction"
letter = "C"
name = "scrape junction"
how = "Take the outermost face of a wide porous junction off, wet, away from the glass; a sleeve is wiped, not scraped."
holds = []
minutes = 10
elapsed_minutes = 20
consumable = [{ item = "rinse water", amount = 0.3, unit = "L" }]
renews = []
cautions = ["broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "condition"
letter = "O"
name = "condition"
how = "Soak in equal parts of 3 mol/L KCl and pH 4 buffer for an hour; differential and ISFET sensors in pH 7; a metal in its standard or the sample."
agent = "3M KCl and pH 4 buffer"
strength = "equal parts"
holds = ["acid_buffer"]
recipe_varies = true
minutes = 2
elapsed_minutes = 60
consumable = [{ item = "3M KCl", amount = 25, unit = "mL" }, { item = "pH 4 buffer", amount = 25, unit = "mL" }]
renews = []
cautions = ["cyanide_line", "sulfide_line", "acid_after_hypochlorite", "zobell"]
source = "common practice"
class = "common practice"

[[action]]
key = "rehydrate"
letter = "W"
name = "rehydrate"
how = "Dry for less than a day: some hours in pH 7. Longer: weak acid or pH 4 buffer with KCl for an hour, check, then overnight, check; give up after 48 hours."
agent = "3M KCl and pH 4 buffer"
strength = "equal parts"
holds = ["acid_buffer"]
recipe_varies = true
minutes = 3
elapsed_minutes = 720
consumable = [{ item = "3M KCl", amount = 25, unit = "mL" }, { item = "pH 4 buffer", amount = 25, unit = "mL" }]
renews = []
cautions = ["cyanide_line", "sulfide_line", "acid_after_hypochlorite", "zobell", "acid"]
source = "common practice"
class = "common practice"

[[action]]
key = "refill_reference"
letter = "F"
name = "refill reference"
how = "Take the old electrolyte out, rinse the chamber twice with new (three times if contaminated), fill to 5 to 10 mm below the hole with the strength the sensor is made for, no bubbles; differential: fresh cell solution."
agent = "electrolyte as specified"
holds = []
minutes = 16
elapsed_minutes = 240
consumable = [{ item = "electrolyte as specified (differential: cell solution)", amount = 30, unit = "mL" }]
renews = ["electrolyte"]
renews_differential = ["cell_solution"]
cautions = ["broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "replace_bridge"
letter = "B"
name = "replace bridge"
how = "Clean first; tip up, unscrew, rinse the cell twice with fresh cell solution and fill it, new O-ring, new bridge hand-tight; soak in pH 7 for 1 to 4 hours, check again next day."
agent = "cell solution"
holds = []
minutes = 25
elapsed_minutes = 180
consumable = [{ item = "bridge", amount = 1, unit = "piece" }, { item = "cell solution", amount = 30, unit = "mL" }, { item = "O-ring", amount = 1, unit = "piece" }]
renews = ["bridge", "cell_solution", "o_ring"]
cautions = ["broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "regenerate_glass"
letter = "G"
name = "regenerate glass"
how = "0.1 mol/L acid and 0.1 mol/L alkali in turn, five minutes each, three times, ending in acid; then pH 7 with KCl overnight. Once or twice in a life."
agent = "hydrochloric acid, sodium hydroxide"
strength = "0.1 mol/L each"
holds = ["acid", "alkali"]
minutes = 30
elapsed_minutes = 960
consumable = [{ item = "hydrochloric acid 0.1 mol/L", amount = 50, unit = "mL" }, { item = "sodium hydroxide 0.1 mol/L", amount = 50, unit = "mL" }, { item = "rinse water", amount = 1, unit = "L" }]
renews = []
cautions = ["cyanide_line", "sulfide_line", "acid_after_hypochlorite", "fluoride", "zobell", "regenerate", "acid"]
source = "common practice"
class = "common practice"

[[action]]
key = "polish_metal"
letter = "P"
name = "polish metal"
how = "The metal only, wet, 30 seconds with 600 grit or fine alumina (antimony: fine emery, 10 seconds); rinse, then let it settle in the standard or the sample."
holds = []
minutes = 6
elapsed_minutes = 60
consumable = [{ item = "600-grit paper or fine alumina", amount = 1, unit = "piece" }, { item = "wipe", amount = 1, unit = "piece" }]
renews = []
cautions = ["broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "dry_connector"
letter = "M"
name = "dry connector"
how = "Isopropyl alcohol, then warm air for 10 to 20 minutes and a drying packet; both ends capped while they are apart; seal again."
agent = "isopropyl alcohol"
strength = "70 %"
holds = ["solvent"]
minutes = 20
elapsed_minutes = 40
consumable = [{ item = "isopropyl alcohol", amount = 5, unit = "mL" }, { item = "drying packet", amount = 1, unit = "piece" }]
renews = []
cautions = ["solvent"]
source = "common practice"
class = "common practice"

[[action]]
key = "rewire"
letter = "R"
name = "rewire"
how = "Leads as the drawing shows, screen and earth whole, ends dry; short and open input tested before the sensor is judged again."
holds = []
minutes = 45
elapsed_minutes = 45
consumable = []
renews = []
cautions = ["loop_in_manual"]
source = "common practice"
class = "common practice"

[[action]]
key = "standardise"
letter = "S"
name = "standardise"
how = "Only on a sensor that passed its standards lately and has stood in the process 30 minutes or more: grab sample at the sensor, read within 5 minutes at line temperature, change only what two grabs agree on. It moves the offset, never the slope."
holds = []
minutes = 15
elapsed_minutes = 15
consumable = [{ item = "grab sample", amount = 0.3, unit = "L" }]
renews = []
cautions = ["hot_or_pressurised"]
source = "common practice"
class = "common practice"

[[action]]
key = "adjust"
letter = "U"
name = "adjust"
how = "Key slope and offset into the analyser, read the first standard again: within 0.05 pH."
holds = []
minutes = 5
elapsed_minutes = 5
consumable = []
renews = []
cautions = []
source = "our choice: keying in and one reading; the readings themselves count with the calibration"
class = "assumed"

[[action]]
key = "replace"
letter = "X"
name = "replace"
how = "A spare soaked and read in standards beforehand; serial scanned, reason removed written down, O-ring new; grab check after 1 and 24 hours."
holds = []
minutes = 25
elapsed_minutes = 25
consumable = [{ item = "ready spare", amount = 1, unit = "piece" }, { item = "O-ring", amount = 1, unit = "piece" }]
renews = []
cautions = ["broken_glass"]
source = "common practice"
class = "common practice"

[[action]]
key = "scrap"
letter = "Z"
name = "scrap"
how = "Rinse, write down the reason removed, mark it so that it never comes back, dispose of it as the site says."
holds = []
minutes = 5
elapsed_minutes = 5
consumable = []
renews = []
cautions = ["broken_glass"]
source = "our choice"
class = "assumed"

# What an agent typed on the bench holds. `match`: any of these, in any case, anywhere in the text of the agent; every entry that
# matches counts. Where none matches, the action''s own `holds` stands.

[[agent]]
key = "acid"
match = ["acid", "hcl", "hno3", "h2so4", "vinegar", "muriatic", "descal"]
holds = ["acid"]

[[agent]]
key = "acid_buffer"
match = ["ph 4", "ph4", "ph 1.68", "ph1.68", "phthalate", "storage solution"]
holds = ["acid_buffer"]

[[agent]]
key = "alkali"
match = ["naoh", "koh", "hydroxide", "caustic", "lye"]
holds = ["alkali"]

[[agent]]
key = "hypochlorite"
match = ["hypochlor", "bleach", "naocl", "naclo", "javel", "chlorine"]
holds = ["hypochlorite"]

[[agent]]
key = "ammonia"
match = ["ammonia", "ammonium", "nh3", "nh4oh"]
holds = ["ammonia"]

[[agent]]
key = "solvent"
match = ["alcohol", "isoprop", "ethanol", "methanol", "acetone", "thinner", "solvent", "spirit", "ipa"]
holds = ["solvent"]

[[agent]]
key = "thiourea"
match = ["thiourea"]
holds = ["thiourea", "acid"]

[[agent]]
key = "enzyme"
match = ["pepsin"]
holds = ["acid"]

[[agent]]
key = "hot_liquid"
match = ["warm kcl", "kcl, warm", "hot kcl", "kcl, hot"]
holds = ["hot_liquid"]

[[agent]]
key = "fluoride"
match = ["fluor", "bifluoride", "hydrofluoric"]
holds = ["fluoride", "acid"]

[[agent]]
key = "mild"
match = ["ph 7", "ph7", "ph 6.86", "ph6.86", "kcl", "water", "sample"]
holds = []

# Known from old recipes and never offered.

[[not_offered]]
name = "fluoride or bifluoride dip"
why = "it burns deep and unfelt, and the glass gains little for a short time"

[[not_offered]]
name = "concentrated ammonia on a silver chloride plug"
why = "a fume hood only, and never near hypochlorite"

[[not_offered]]
name = "strong nitric acid on platinum"
why = "a fume hood only"

[[not_offered]]
name = "aqua regia on platinum or gold"
why = "it must not be kept closed, eats gold, and is nothing for a plant shop"

# Cautions, shown where the action is chosen. A reminder, no procedure: each text ends by giving way to the site''s own papers.
#
#   key, title      what it is called                level    "danger" (can kill or blind), "warning" (can hurt), "notice"
#   text            what is shown
#   question        there if it is an interlock: asked before the step stands; yes lets it stand, no takes it out. The answer, the
#                   person and the time are kept.
#   applies         a list of situations; one that holds is enough. In a situation every condition given must hold, and of the
#                   list in a condition one is enough:
#                     actions        the step chosen is one of these
#                     holds          the recipe of the step holds one of these (actions.toml)
#                     standards      a reading is about to be taken in one of these
#                     hazards        the point has one of these hazards
#                     after          earlier on the same sensor, in this visit or on the same day, a step that holds one of these, or a
#                                    reading in one of these standards
#                     moment         "withdraw": before the sensor leaves the process
#                     loop_classes   the point is of one of these classes
#                     findings       one of these findings stands on the sensor
#                     reasons_removed  the sensor is taken out for one of these reasons
#                     sensing        the sensor''s measuring half is one of these
#   asks            situations in which the question is asked; without it, wherever the caution applies
#   source, class   where it comes from
#
# Sources: common plant practice, known from memory, unless named. USGS A6.4: Techniques and Methods 9-A6.4 (2021). USGS A6.5: TWRI book 9,
# chapter A6.5 (2005). USGS A6.8: Techniques and Methods 9-A6.8 (2025).

[[caution]]
key = "loop_in_manual"
title = "Loop in manual or hold first"
level = "danger"
text = "Out of the process the sensor reads anything, and a loop in automatic would dose on it. Tell the control room; loop in manual, output held, before the sensor moves. See what else uses the signal: alarms, interlocks, permit recorder. Bypass those only under the site''s own permit. Back to automatic only when the sensor is wet, settled and agrees with a grab sample. Site procedure and permit come first."
question = "Control room told, and the loop in manual or hold?"
applies = [{ moment = "withdraw", loop_classes = ["control", "alarm", "interlock", "permit", "quality"] }, { actions = ["rewire"], loop_classes = ["control", "alarm", "interlock", "permit", "quality"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "hot_or_pressurised"
title = "Hot or under pressure"
level = "danger"
text = "Isolate, depressurise and drain before anything is loosened. A retractable holder keeps pressure only while seals and locks are sound: look at them first, withdraw to the stop, close its valve, vent. Stay out of the line in which the sensor would fly. Face shield and gloves. Site procedure, line-break permit and safety data sheet of the process liquid come first."
question = "Isolated, depressurised and drained, holder locked?"
applies = [{ moment = "withdraw", hazards = ["hot", "pressure"] }, { actions = ["standardise"], hazards = ["hot", "pressure"] }]
asks = [{ moment = "withdraw", hazards = ["hot", "pressure"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "process_liquid"
title = "What is in the pipe"
level = "warning"
text = "The liquid that clings to the sensor is the process itself. Goggles, gloves and clothing for it; rinse the sensor at the point, before it comes to a bench or is sent away, and treat it as contaminated until then. Site procedure, permit and the safety data sheet of the process liquid come first."
applies = [{ moment = "withdraw", hazards = ["acid", "caustic", "hypochlorite", "cyanide", "sulfide", "fluoride", "solvent"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "confined_space"
title = "Confined space"
level = "danger"
text = "A pit, sump or tank can hold bad air that gives no warning. No entry without the site''s permit, gas test, standby person and way out. Site procedure, permit and local rules come first."
question = "Entry permit in hand and air tested, or no entry needed?"
applies = [{ moment = "withdraw", hazards = ["confined"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "acid"
title = "Acid"
level = "warning"
text = "Goggles and gloves, eyewash within reach. Acid into water, never water into acid. A beaker of its own, with a label; no hypochlorite or chlorinated cleaner near it, in the same beaker, tray or waste jar. Anything stronger than weak acid needs its own assessment of the risk. Site procedure, permit and safety data sheet come first."
question = "Goggles and gloves on, own labelled beaker, no hypochlorite near?"
applies = [{ holds = ["acid"] }]
source = "common practice; acid into water, dilute acid irritates: university laboratory guideline"
class = "common practice"

[[caution]]
key = "acid_after_hypochlorite"
title = "Acid after hypochlorite"
level = "danger"
text = "Hypochlorite was on this sensor, or its line carries it. Acid on what is left of it sets chlorine gas free. Leave the acid for another day, or go on only after a flood rinse of a minute and when the rinse water tests free of chlorine, in a fresh labelled vessel and moving air. Site procedure, permit and safety data sheet come first."
question = "Flood-rinsed for a minute, rinse water free of chlorine, fresh vessel?"
applies = [{ holds = ["acid", "acid_buffer"], after = ["hypochlorite"] }, { holds = ["acid"], hazards = ["hypochlorite"] }]
source = "state health agency text on chlorine; rinse and vessel: common practice"
class = "common practice"

[[caution]]
key = "hypochlorite_after_acid"
title = "Hypochlorite after acid"
level = "danger"
text = "Acid was on this sensor, or its line carries it. Hypochlorite on what is left of it sets chlorine gas free. Leave the hypochlorite for another day, or go on only after a flood rinse of a minute and when the rinse water is neutral, in a fresh labelled vessel and moving air. Site procedure, permit and safety data sheet come first."
question = "Flood-rinsed for a minute, rinse water neutral, fresh vessel?"
applies = [{ holds = ["hypochlorite"], after = ["acid", "acid_buffer", "light"] }, { holds = ["hypochlorite"], hazards = ["acid"] }]
source = "state health agency text on chlorine; rinse and vessel: common practice"
class = "common practice"

[[caution]]
key = "hypochlorite"
title = "Hypochlorite"
level = "danger"
text = "Alone, always: with acid it sets chlorine gas free, with ammonia chloramines. Own labelled vessel, own waste jar, moving air, goggles and gloves. Afterwards a flood rinse of a minute and a second clean vessel. Not on a sensor from cyanide duty, not on gold. Site procedure, permit and safety data sheet come first."
question = "No acid and no ammonia near, own labelled vessel, not cyanide or gold duty?"
applies = [{ holds = ["hypochlorite"] }]
source = "state health agency text on chlorine; common practice"
class = "common practice"

[[caution]]
key = "cyanide_line"
title = "Acid on a sensor from a cyanide line"
level = "danger"
text = "Acid on cyanide sets hydrogen cyanide free: lethal, and not everyone can smell it. Rinse at the point until the rinse water is neutral and free of process liquid; moving air, gas alarm as the site says, nobody alone. An acid-soaked sensor never goes back into a cyanide line unrinsed. Goggles and gloves; acid into water, never with hypochlorite. Site procedure, permit and safety data sheet come first."
question = "Neutral rinse done, and the air moving?"
applies = [{ holds = ["acid", "acid_buffer"], hazards = ["cyanide"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "sulfide_line"
title = "Acid on a sensor from a sulfide line"
level = "danger"
text = "Acid on sulfide sets hydrogen sulfide free: lethal, and soon no longer smelt. A black deposit counts as sulfide. Rinse at the point until the rinse water is neutral; moving air, gas alarm as the site says, nobody alone. Site procedure, permit and safety data sheet come first."
question = "Neutral rinse done, and the air moving?"
applies = [{ holds = ["acid", "acid_buffer"], hazards = ["sulfide"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "fluoride"
title = "Fluoride and acid"
level = "danger"
text = "Acid on fluoride makes hydrofluoric acid: it burns deep and is hardly felt at first, and it eats any glass. Rinse neutral until no process liquid is left, before acid comes near; the gloves the site names for it, calcium gluconate gel at hand. Fluoride dips for the glass are not offered here. Site procedure, permit and safety data sheet come first."
question = "Rinsed neutral, no fluoride left, right gloves on?"
applies = [{ holds = ["acid"], hazards = ["fluoride"] }, { holds = ["fluoride"] }]
source = "common practice, from memory"
class = "memory"

[[caution]]
key = "thiourea"
title = "Thiourea"
level = "warning"
text = "Suspected of causing cancer. Gloves, no skin contact, a labelled vessel, its waste apart from all others. The recipe holds acid: what is said of acid holds too. Site procedure, permit and safety data sheet come first."
applies = [{ holds = ["thiourea"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "solvent"
title = "Solvent"
level = "warning"
text = "Flammable: no flame, spark or hot surface, moving air. It clouds and cracks some plastic bodies: try it on a hidden spot, wipe, do not soak. Hot-work and area rules hold for the meter too. Site procedure, permit and safety data sheet come first."
applies = [{ holds = ["solvent"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "warm_kcl"
title = "Warm KCl"
level = "warning"
text = "At 60 to 80 °C it scalds. A beaker that stands firm, tongs, goggles; warm and cool the sensor slowly, glass cracks from a shock. Never on a polymer sensor, gel not above 60 °C. Site procedure, permit and safety data sheet come first."
applies = [{ holds = ["hot_liquid"] }, { actions = ["clear_junction"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "regenerate"
title = "Acid and alkali in turn"
level = "warning"
text = "Both attack eyes and skin: eye protection and gloves throughout. Two labelled beakers, a rinse between them at each change. No hypochlorite near. Site procedure, permit and safety data sheet come first."
question = "Eye protection and gloves on, two labelled beakers?"
applies = [{ actions = ["regenerate_glass"] }]
source = "common practice"
class = "common practice"

[[caution]]
key = "broken_glass"
title = "Broken glass"
level = "warning"
text = "It cuts. Collect it with a tool, and look for pieces in the line where the product matters. Never force or twist a stuck body. An old calomel reference holds mercury: keep people away, the site''s mercury procedure applies. Site procedure, permit and safety data sheet come first."
applies = [{ findings = ["glass_broken"] }, { reasons_removed = ["broken"] }]
source = "common practice; mercury in old references: from memory"
class = "common practice"

[[caution]]
key = "zobell"
title = "Ferro- and ferricyanide standard"
level = "danger"
text = "Contains cyanide complexes, harmful if swallowed, inhaled or taken up by the skin. With acid it can set hydrogen cyanide free: never with acid, acid buffers or Light''s solution, nor their waste; own beaker, own waste bottle, not down the drain. Rinse the sensor well before the next liquid; in water that holds iron a blue film forms. Site procedure, permit and safety data sheet come first."
question = "Sensor rinsed clean between this standard and anything acid, beakers and waste apart?"
applies = [
    { standards = ["zobell"] },
    { holds = ["acid", "acid_buffer"], after = ["zobell"] },
    { standards = ["light", "quinhydrone_ph4", "ph1.68", "ph4.00", "ph4.01"], after = ["zobell"] },
]
asks = [
    { holds = ["acid", "acid_buffer"], after = ["zobell"] },
    { standards = ["light", "quinhydrone_ph4", "ph1.68", "ph4.00", "ph4.01"], after = ["zobell"] },
    { standards = ["zobell"], after = ["acid", "acid_buffer", "light", "quinhydrone_ph4", "ph1.68", "ph4.00", "ph4.01"] },
]
source = "USGS A6.5; USGS A6.8, Table 6.8-3; academic safety sheet on ferrocyanides"
class = "standard"

[[caution]]
key = "light"
title = "Ferrous and ferric standard"
level = "warning"
text = "Strong acid: it holds sulfuric acid. Goggles and gloves, own beaker. Never with the ferro- and ferricyanide standard, nor their waste: hydrogen cyanide. Never after hypochlorite without a full rinse. Site procedure, permit and safety data sheet come first."
question = "Rinsed free of hypochlorite and of process liquid with cyanide or sulfide?"
applies = [{ standards = ["light"] }]
asks = [{ standards = ["light"], after = ["hypochlorite"] }, { standards = ["light"], hazards = ["cyanide", "sulfide", "hypochlorite"] }]
source = "USGS A6.5 (recipe); acid content from memory"
class = "standard"

[[caution]]
key = "quinhydrone"
title = "Quinhydrone"
level = "notice"
text = "The powder irritates and stains: no dust, gloves, not in food areas. Made the same day and used within eight hours; undissolved crystals must remain; not above 30 °C. Its waste apart. Site procedure, permit and safety data sheet come first."
applies = [{ standards = ["quinhydrone_ph4", "quinhydrone_ph7"] }]
source = "ASTM D1498 (eight hours); USGS A6.5 (30 °C); irritant: from memory"
class = "common practice"
', 1735689600, 0, 1);
INSERT INTO rule_adoptions (entry, id, adopted_s, adopted_offset_min, person, why, recorded_s, recorded_offset_min) VALUES (2, 'default@1', 1735689600, 0, NULL, 'shipped with the program', 1735689600, 0);
INSERT INTO sites (site, note, recorded_s, recorded_offset_min, entry) VALUES ('Saltmarsh', 'by the river', 1735689600, 0, 3);
INSERT INTO points (tag, site, area, description, application, loop_class, ph_low, ph_high, temp_degc, tolerance_ph, tolerance_mv, hazards, location, phone, consequence_per_week, permit_area, walk_order, walk_minutes, legal_floor_days, legal_clause, grab_quality, season_from, season_to, recorded_s, recorded_offset_min, entry) VALUES ('AE-3107', 'Saltmarsh', 'Neutralisation', NULL, 'wastewater', 'control', 6.5, 9.5, NULL, NULL, NULL, 'acid;caustic', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1735689600, 0, 4);
INSERT INTO points (tag, site, area, description, application, loop_class, ph_low, ph_high, temp_degc, tolerance_ph, tolerance_mv, hazards, location, phone, consequence_per_week, permit_area, walk_order, walk_minutes, legal_floor_days, legal_clause, grab_quality, season_from, season_to, recorded_s, recorded_offset_min, entry) VALUES ('AE-3109', 'Saltmarsh', 'Neutralisation', NULL, 'wastewater', 'alarm', NULL, NULL, NULL, NULL, NULL, 'caustic', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1735689600, 0, 5);
INSERT INTO models (model, kind, reference, sensing, reference_fill, interchange, price, lead_time_days, recorded_s, recorded_offset_min, entry) VALUES ('K7', 'ph', 'double_gel', 'bulb', NULL, NULL, 240.0, NULL, 1735689600, 0, 6);
INSERT INTO models (model, kind, reference, sensing, reference_fill, interchange, price, lead_time_days, recorded_s, recorded_offset_min, entry) VALUES ('R2', 'orp', NULL, 'platinum', '3M KCl', NULL, NULL, NULL, 1735689600, 0, 7);
INSERT INTO sensors (serial, model, bought_s, bought_offset_min, opened_s, opened_offset_min, first_wet_s, first_wet_offset_min, shelf_expires_s, shelf_expires_offset_min, production_lot, price, note, recorded_s, recorded_offset_min, entry) VALUES ('K7-0412', 'K7', 1736467200, 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1736467200, 0, 8);
INSERT INTO sensors (serial, model, bought_s, bought_offset_min, opened_s, opened_offset_min, first_wet_s, first_wet_offset_min, shelf_expires_s, shelf_expires_offset_min, production_lot, price, note, recorded_s, recorded_offset_min, entry) VALUES ('K7-0431', 'K7', 1736467200, 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1736467200, 0, 9);
INSERT INTO sensors (serial, model, bought_s, bought_offset_min, opened_s, opened_offset_min, first_wet_s, first_wet_offset_min, shelf_expires_s, shelf_expires_offset_min, production_lot, price, note, recorded_s, recorded_offset_min, entry) VALUES ('R2-0007', 'R2', 1736467200, 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1736467200, 0, 10);
INSERT INTO placements (serial, place, from_s, from_offset_min, to_s, to_offset_min, reason_removed, from_latest_s, from_latest_offset_min, pre_emptive, entry_age_days, wet_days, hot_cycles, recorded_s, recorded_offset_min, entry) VALUES ('K7-0412', 'AE-3107', 1738393200, 60, 1748736000, 0, 'slow', NULL, NULL, NULL, NULL, NULL, NULL, 1738368000, 0, 11);
INSERT INTO placements (serial, place, from_s, from_offset_min, to_s, to_offset_min, reason_removed, from_latest_s, from_latest_offset_min, pre_emptive, entry_age_days, wet_days, hot_cycles, recorded_s, recorded_offset_min, entry) VALUES ('K7-0431', 'AE-3107', 1748736000, 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1748736000, 0, 12);
INSERT INTO placements (serial, place, from_s, from_offset_min, to_s, to_offset_min, reason_removed, from_latest_s, from_latest_offset_min, pre_emptive, entry_age_days, wet_days, hot_cycles, recorded_s, recorded_offset_min, entry) VALUES ('R2-0007', 'AE-3109', 1738368000, 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1738368000, 0, 13);
INSERT INTO lots (lot, standard, received_s, received_offset_min, opened_s, opened_offset_min, expires_s, expires_offset_min, discarded_s, discarded_offset_min, certified_ph, certified_mv, u_ph, u_mv, note, recorded_s, recorded_offset_min, entry) VALUES ('B7-2231', 'ph7.00', 1736035200, 0, 1738368000, 0, NULL, NULL, NULL, NULL, 7.01, NULL, 0.01, NULL, NULL, 1736035200, 0, 14);
INSERT INTO people (person, skills, days, minutes_per_day, from_s, from_offset_min, to_s, to_offset_min, recorded_s, recorded_offset_min, entry) VALUES ('T1', 'ph;orp', 'mon;tue', 300.0, NULL, NULL, NULL, NULL, 1735689600, 0, 15);
INSERT INTO holds (point, from_s, from_offset_min, person, to_s, to_offset_min, closed_by, closed_how, note, recorded_s, recorded_offset_min, entry) VALUES ('AE-3107', 1740903120, 0, 'T1', 1740907200, 0, 'T1', 'auto', NULL, 1740903120, 0, 16);
INSERT INTO visits (visit, when_s, when_offset_min, serial, tag, person, reason, round, manual_from_s, manual_from_offset_min, auto_at_s, auto_at_offset_min, cleaned_before, confirmed_cause, confirmed_how, remark, stated, recorded_s, recorded_offset_min, entry) VALUES ('v1', 1740901440, 60, 'K7-0412', 'AE-3107', 'T1', 'routine', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 'white coating, came off with acid', 1, 1740906000, 60, 18);
INSERT INTO visits (visit, when_s, when_offset_min, serial, tag, person, reason, round, manual_from_s, manual_from_offset_min, auto_at_s, auto_at_offset_min, cleaned_before, confirmed_cause, confirmed_how, remark, stated, recorded_s, recorded_offset_min, entry) VALUES ('v2', 1751438640, 120, 'R2-0007', 'AE-3109', 'T1', 'audit', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 1, 1751443200, 120, 19);
INSERT INTO readings (visit, seq, when_s, when_offset_min, phase, standard, lot, mv, temp_degc, temp_source, wait_s, t90_s, settled, meter, thermometer, dip, shown_ph, keyed, why_missing, note, unanswered, recorded_s, recorded_offset_min, entry) VALUES ('v1', 1, 1740901500, 60, 'as_found', 'ph7.00', 'B7-2231', -13.0, 19.0, 'measured', 60.0, NULL, NULL, NULL, NULL, 1, NULL, NULL, NULL, NULL, 't90_s=not_done', 1740906000, 60, 18);
INSERT INTO readings (visit, seq, when_s, when_offset_min, phase, standard, lot, mv, temp_degc, temp_source, wait_s, t90_s, settled, meter, thermometer, dip, shown_ph, keyed, why_missing, note, unanswered, recorded_s, recorded_offset_min, entry) VALUES ('v1', 2, 1740901800, 60, 'as_found', 'ph10.01', NULL, -176.0, 19.0, 'measured', 60.0, 20.0, NULL, NULL, NULL, 1, NULL, NULL, NULL, NULL, NULL, 1740906000, 60, 18);
INSERT INTO readings (visit, seq, when_s, when_offset_min, phase, standard, lot, mv, temp_degc, temp_source, wait_s, t90_s, settled, meter, thermometer, dip, shown_ph, keyed, why_missing, note, unanswered, recorded_s, recorded_offset_min, entry) VALUES ('v1', 3, 1740903000, 60, 'as_left', 'ph7.00', 'B7-2231', -10.0, 19.2, 'measured', 60.0, NULL, NULL, NULL, NULL, 1, NULL, NULL, NULL, NULL, NULL, 1740906000, 60, 18);
INSERT INTO readings (visit, seq, when_s, when_offset_min, phase, standard, lot, mv, temp_degc, temp_source, wait_s, t90_s, settled, meter, thermometer, dip, shown_ph, keyed, why_missing, note, unanswered, recorded_s, recorded_offset_min, entry) VALUES ('v1', 4, 1740903300, 60, 'as_left', 'ph10.01', NULL, -181.5, 19.2, 'measured', 60.0, 18.0, NULL, NULL, NULL, 1, NULL, NULL, NULL, NULL, NULL, 1740906000, 60, 18);
INSERT INTO readings (visit, seq, when_s, when_offset_min, phase, standard, lot, mv, temp_degc, temp_source, wait_s, t90_s, settled, meter, thermometer, dip, shown_ph, keyed, why_missing, note, unanswered, recorded_s, recorded_offset_min, entry) VALUES ('v2', 1, 1751438700, 120, 'as_found', 'zobell', NULL, 226.5, 21.5, 'measured', 90.0, NULL, NULL, NULL, NULL, 1, NULL, NULL, NULL, NULL, NULL, 1751443200, 120, 19);
INSERT INTO actions (visit, seq, when_s, when_offset_min, step, action, agent, strength, minutes, elapsed_minutes, part_lot, note, unanswered, recorded_s, recorded_offset_min, entry) VALUES ('v1', 1, 1740902400, 60, 1, 'clean_detergent', NULL, NULL, 6.0, NULL, NULL, NULL, NULL, 1740906000, 60, 18);
INSERT INTO corrections (visit, seq, table_name, row_number, field, old_value, new_value, person, why, recorded_s, recorded_offset_min, entry) VALUES ('v1', 1, 'readings', 2, 'mv', '-176', '-167', 'T2', 'digits swapped', 1740988800, 0, 20);
INSERT INTO legacy (serial, when_s, when_offset_min, phase, efficiency_pct, offset_mv, t90_s, person, note, recorded_s, recorded_offset_min, entry) VALUES ('K7-0412', 1714521600, 0, 'as_found', 96.5, -4.0, NULL, NULL, NULL, 1735776000, 0, 17);
