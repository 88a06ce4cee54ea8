//! `#[derive(Noun)]` and `#[questions]`: what `gelwright-base` says of them is what they mean
//! (`gelwright_base::noun`, `gelwright_base::question`).
//!
//! The generated code is small on purpose: a table of constants, an array of places to read into, an array of nodes to
//! write. All that works on them is written once, in `gelwright-base`.
#![forbid(unsafe_code)]

mod attributes;
mod noun;
mod questions;

use proc_macro::TokenStream;

/// Makes a noun of a struct or an enum: see `gelwright_base::noun`.
#[proc_macro_derive(Noun, attributes(noun))]
pub fn noun(input: TokenStream) -> TokenStream {
    let input = syn::parse_macro_input!(input as syn::DeriveInput);
    noun::derive(&input)
        .unwrap_or_else(syn::Error::into_compile_error)
        .into()
}

/// A range that several fields share, written as a field's `within(...)` is: `range!("1 mm", "10 m", "measure it")`.
#[proc_macro]
pub fn range(input: TokenStream) -> TokenStream {
    let ends = syn::parse_macro_input!(input as attributes::Ends);
    ends.tokens()
        .unwrap_or_else(syn::Error::into_compile_error)
        .into()
}

/// Lists the methods of an `impl` block that are marked `#[question("module.name")]`: see `gelwright_base::question`.
#[proc_macro_attribute]
pub fn questions(arguments: TokenStream, input: TokenStream) -> TokenStream {
    questions::expand(arguments.into(), input.into())
        .unwrap_or_else(syn::Error::into_compile_error)
        .into()
}
