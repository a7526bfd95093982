//! Keeps in the client's page what `.ci/split.mjs` needs in order to cut it into parts.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    if std::env::var("CARGO_CFG_TARGET_ARCH").as_deref() == Ok("wasm32") {
        println!("cargo::rustc-link-arg-bin=carryover=--emit-relocs");
    }
}
