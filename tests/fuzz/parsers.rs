//! Coverage-guided search over one of the targets, named by WETSIDE_FUZZ_TARGET.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;

#[allow(dead_code)]
mod targets;

static FEED: LazyLock<targets::Feed> = LazyLock::new(|| {
    let name = std::env::var("WETSIDE_FUZZ_TARGET").expect("WETSIDE_FUZZ_TARGET names a target");
    let found = targets::TARGETS.iter().find(|(target, _)| *target == name);
    found.expect("a target of this name").1
});

fuzz_target!(|input: &[u8]| FEED(input));
