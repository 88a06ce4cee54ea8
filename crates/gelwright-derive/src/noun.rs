//! The derive.

use proc_macro2::TokenStream;
use quote::{format_ident, quote};
use syn::{Attribute, Data, DeriveInput, Fields, Ident, Result, Type};

use crate::attributes::{Container, Given, Literal, OfField, doc};

pub(crate) fn derive(input: &DeriveInput) -> Result<TokenStream> {
    let container = Container::read(&input.attrs)?;
    let noun = table(input, &container)?;
    let debug = debug(input);
    Ok(quote!(#noun #debug))
}

/// `{:?}` says a noun's quantities as the bench does: a failing property test shows "20 g", "16 °C".
fn debug(input: &DeriveInput) -> TokenStream {
    let name = &input.ident;
    let (imp, ty, wh) = input.generics.split_for_impl();
    quote! {
        impl #imp ::core::fmt::Debug for #name #ty #wh {
            fn fmt(&self, f: &mut ::core::fmt::Formatter<'_>) -> ::core::fmt::Result {
                ::gelwright_base::noun::debug(self, f)
            }
        }
    }
}

fn table(input: &DeriveInput, container: &Container) -> Result<TokenStream> {
    if let Some(via) = &container.via {
        return Ok(through(input, via));
    }
    match &input.data {
        Data::Struct(s) => structure(input, container, &s.fields),
        Data::Enum(e) => {
            let variants: Vec<&syn::Variant> = e.variants.iter().collect();
            variants_of(input, container, &variants)
        }
        Data::Union(u) => Err(syn::Error::new_spanned(u.union_token, "a union is no noun")),
    }
}

/// Read as another noun and converted.
fn through(input: &DeriveInput, via: &Type) -> TokenStream {
    let name = &input.ident;
    let (imp, ty, wh) = input.generics.split_for_impl();
    quote! {
        impl #imp ::gelwright_base::noun::Written for #name #ty #wh {
            fn walk(&self, w: &mut dyn ::gelwright_base::noun::Walk) {
                ::gelwright_base::noun::Written::walk(&<#via>::from(self.clone()), w);
            }
        }
        impl #imp ::gelwright_base::noun::Noun for #name #ty #wh {
            fn shape() -> &'static ::gelwright_base::noun::Shape {
                <#via as ::gelwright_base::noun::Noun>::shape()
            }
            fn read(
                value: &::gelwright_base::noun::Value,
                r: &mut ::gelwright_base::noun::Reader,
            ) -> Option<Self> {
                let via = <#via as ::gelwright_base::noun::Noun>::read(value, r)?;
                r.ask(Self::try_from(via))
            }
        }
    }
}

/// A field as its table and its place need it.
struct One<'a> {
    ident: Ident,
    ty: &'a Type,
    of: OfField,
    doc: String,
    name: String,
}

impl One<'_> {
    fn entry(&self) -> Result<TokenStream> {
        let (name, doc, ty, flat) = (&self.name, &self.doc, self.ty, self.of.flat);
        let default = match &self.of.default {
            None => quote!(None),
            Some(Given::Value(e)) => quote! {
                Some(::gelwright_base::noun::Default::Own(|| {
                    let own: #ty = #e;
                    ::gelwright_base::noun::to_value(&own).unwrap_or_default()
                }))
            },
            Some(Given::Literal(l)) => match l {
                Literal::Text(t) => quote!(Some(::gelwright_base::noun::Default::Text(#t))),
                Literal::Number(x) => quote!(Some(::gelwright_base::noun::Default::Number(#x))),
                Literal::Whole(n) => quote!(Some(::gelwright_base::noun::Default::Whole(#n))),
                Literal::Bool(b) => quote!(Some(::gelwright_base::noun::Default::Bool(#b))),
            },
        };
        let range = match &self.of.within {
            None => quote!(None),
            Some(w) => {
                let w = w.tokens()?;
                quote!(Some(#w))
            }
        };
        Ok(quote! {
            ::gelwright_base::noun::Field {
                name: #name,
                doc: #doc,
                shape: <#ty as ::gelwright_base::noun::Noun>::shape,
                default: #default,
                range: #range,
                flat: #flat,
            }
        })
    }

    /// Where it is read into; named apart from what else stands in the function.
    fn held(&self) -> Ident {
        format_ident!("of_{}", self.name.replace(|c: char| !c.is_alphanumeric(), "_"))
    }

    fn place(&self) -> TokenStream {
        let (ident, ty) = (self.held(), self.ty);
        if let Some(Given::Value(e)) = &self.of.default {
            quote! {
                let mut #ident: ::gelwright_base::noun::Held<#ty> = ::gelwright_base::noun::Held::or(|| Some(#e));
            }
        } else {
            quote!(let mut #ident: ::gelwright_base::noun::Held<#ty> = ::gelwright_base::noun::Held::new();)
        }
    }

    /// A row of the table in the documentation.
    fn row(&self) -> Option<String> {
        let default = match &self.of.default {
            None => String::new(),
            Some(Given::Value(_)) => "left out".to_owned(),
            Some(Given::Literal(l)) => l.to_string(),
        };
        let range = self
            .of
            .within
            .as_ref()
            .map(crate::attributes::Within::words)
            .unwrap_or_default();
        if default.is_empty() && range.is_empty() {
            return None;
        }
        Some(format!("| `{}` | {default} | {range} |", self.name))
    }
}

fn collect<'a>(fields: impl IntoIterator<Item = &'a syn::Field>) -> Result<Vec<One<'a>>> {
    fields
        .into_iter()
        .map(|f| {
            let ident = f
                .ident
                .clone()
                .ok_or_else(|| syn::Error::new_spanned(f, "a noun's fields have names"))?;
            let of = OfField::read(&f.attrs)?;
            let name = of
                .name
                .clone()
                .unwrap_or_else(|| ident.to_string().trim_start_matches("r#").to_owned());
            Ok(One {
                doc: doc(&f.attrs),
                ty: &f.ty,
                of,
                name,
                ident,
            })
        })
        .collect()
}

fn documentation(rows: &[String]) -> Vec<TokenStream> {
    if rows.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![
        "Defaults and allowed ranges:".to_owned(),
        String::new(),
        "| field | default | allowed |".to_owned(),
        "|---|---|---|".to_owned(),
    ];
    lines.extend(rows.iter().cloned());
    lines.iter().map(|l| quote!(#[doc = #l])).collect()
}

fn structure(input: &DeriveInput, container: &Container, fields: &Fields) -> Result<TokenStream> {
    let name = &input.ident;
    let (imp, ty, wh) = input.generics.split_for_impl();
    if let (Fields::Unnamed(u), 1) = (fields, fields.len()) {
        return Ok(newtype(input, container, &u.unnamed[0].ty));
    }
    let all = collect(fields)?;
    let kept: Vec<&One<'_>> = all.iter().filter(|f| !f.of.skip).collect();
    let entries = kept.iter().map(|f| f.entry()).collect::<Result<Vec<_>>>()?;
    let idents: Vec<&Ident> = kept.iter().map(|f| &f.ident).collect();
    let held: Vec<Ident> = kept.iter().map(|f| f.held()).collect();
    let places = kept.iter().map(|f| f.place());
    let skipped = all.iter().filter(|f| f.of.skip).map(|f| &f.ident);
    let title = container.name.clone().unwrap_or_else(|| name.to_string());
    let about = doc(&input.attrs);
    let open = container.open;
    let of = match input.generics.type_params().next() {
        Some(p) => {
            let p = &p.ident;
            quote!(Some(<#p as ::gelwright_base::noun::Noun>::shape))
        }
        None => quote!(None),
    };
    let check = container.check.then(|| {
        quote!(if let Err(e) = made.check() {
            return r.refuse(e);
        })
    });
    let versions = container.versions.as_ref().map(|of| {
        quote!(if let Err(e) = #of.check(value) {
            return r.refuse(e);
        })
    });
    let rows: Vec<String> = kept.iter().filter_map(|f| f.row()).collect();
    let documented = documentation(&rows);
    let read = if container.written {
        quote! { r.wrong(value, "nothing: this is an answer") }
    } else {
        quote! {
            #versions
            #(#places)*
            r.fields(value, <Self as ::gelwright_base::noun::Noun>::shape(), &mut [#(&mut #held),*])?;
            let made = Self { #(#idents: #held.take()?,)* #(#skipped: ::core::default::Default::default(),)* };
            #check
            Some(made)
        }
    };
    Ok(quote! {
        impl #imp ::gelwright_base::noun::Written for #name #ty #wh {
            fn walk(&self, w: &mut dyn ::gelwright_base::noun::Walk) {
                w.fields(<Self as ::gelwright_base::noun::Noun>::shape(), &[#(&self.#idents),*]);
            }
        }
        #(#documented)*
        impl #imp ::gelwright_base::noun::Noun for #name #ty #wh {
            fn shape() -> &'static ::gelwright_base::noun::Shape {
                const {
                    &::gelwright_base::noun::Shape::Struct(&::gelwright_base::noun::Struct {
                        name: #title,
                        doc: #about,
                        fields: &[#(#entries),*],
                        open: #open,
                        path: ::core::module_path!(),
                        read: |value, r| <Self as ::gelwright_base::noun::Noun>::read(value, r).is_some(),
                        of: #of,
                    })
                }
            }
            #[allow(unused_variables)]
            fn read(
                value: &::gelwright_base::noun::Value,
                r: &mut ::gelwright_base::noun::Reader,
            ) -> Option<Self> {
                #read
            }
        }
    })
}

/// A struct around one value is written as that value.
fn newtype(input: &DeriveInput, container: &Container, inner: &Type) -> TokenStream {
    let name = &input.ident;
    let (imp, ty, wh) = input.generics.split_for_impl();
    let check = container.check.then(|| {
        quote!(if let Err(e) = made.check() {
            return r.refuse(e);
        })
    });
    quote! {
        impl #imp ::gelwright_base::noun::Written for #name #ty #wh {
            fn walk(&self, w: &mut dyn ::gelwright_base::noun::Walk) {
                ::gelwright_base::noun::Written::walk(&self.0, w);
            }
        }
        impl #imp ::gelwright_base::noun::Noun for #name #ty #wh {
            fn shape() -> &'static ::gelwright_base::noun::Shape {
                <#inner as ::gelwright_base::noun::Noun>::shape()
            }
            fn read(
                value: &::gelwright_base::noun::Value,
                r: &mut ::gelwright_base::noun::Reader,
            ) -> Option<Self> {
                let made = Self(<#inner as ::gelwright_base::noun::Noun>::read(value, r)?);
                #check
                Some(made)
            }
        }
    }
}

/// `ShelfLife` as a document writes it: `shelf_life`.
pub(crate) fn snake(name: &str) -> String {
    let mut out = String::new();
    for (i, c) in name.char_indices() {
        if c.is_uppercase() {
            if i > 0 {
                out.push('_');
            }
            out.extend(c.to_lowercase());
        } else {
            out.push(c);
        }
    }
    out
}

fn variant_name(v: &syn::Variant) -> Result<String> {
    let of = OfField::read(&v.attrs)?;
    Ok(of.name.unwrap_or_else(|| snake(&v.ident.to_string())))
}

fn variants_of(
    input: &DeriveInput,
    container: &Container,
    variants: &[&syn::Variant],
) -> Result<TokenStream> {
    let name = &input.ident;
    let (imp, ty, wh) = input.generics.split_for_impl();
    let title = container.name.clone().unwrap_or_else(|| name.to_string());
    let about = doc(&input.attrs);
    let tag = match &container.tag {
        Some(t) => quote!(Some(#t)),
        None => quote!(None),
    };
    let (mut entries, mut walks, mut reads) = (vec![], vec![], vec![]);
    for (i, v) in variants.iter().enumerate() {
        let ident = &v.ident;
        let says = variant_name(v)?;
        let meaning = doc(&v.attrs);
        let (content, walk, read) = match &v.fields {
            Fields::Unit => (
                quote!(::gelwright_base::noun::Content::Unit),
                quote!(Self::#ident => w.variant(shape, #i, &[]),),
                quote! { #i => { r.variant_unit(&held)?; Some(Self::#ident) } },
            ),
            Fields::Unnamed(u) if u.unnamed.len() == 1 => {
                let inner = &u.unnamed[0].ty;
                (
                    quote!(::gelwright_base::noun::Content::One(<#inner as ::gelwright_base::noun::Noun>::shape)),
                    quote!(Self::#ident(one) => w.variant(shape, #i, &[one]),),
                    quote! { #i => r.variant_one::<#inner>(&held).map(Self::#ident), },
                )
            }
            Fields::Unnamed(u) => {
                return Err(syn::Error::new_spanned(
                    u,
                    "an alternative holds one value or named fields",
                ));
            }
            Fields::Named(_) => named(ident, i, &v.fields)?,
        };
        entries.push(quote! {
            ::gelwright_base::noun::Variant { name: #says, doc: #meaning, content: #content }
        });
        walks.push(walk);
        reads.push(read);
    }
    let check = container
        .check
        .then(|| quote!(let made = made.and_then(|m: Self| match m.check() { Ok(()) => Some(m), Err(e) => r.refuse(e) });));
    Ok(quote! {
        impl #imp ::gelwright_base::noun::Written for #name #ty #wh {
            fn walk(&self, w: &mut dyn ::gelwright_base::noun::Walk) {
                let shape = <Self as ::gelwright_base::noun::Noun>::shape();
                match self { #(#walks)* }
            }
        }
        impl #imp ::gelwright_base::noun::Noun for #name #ty #wh {
            fn shape() -> &'static ::gelwright_base::noun::Shape {
                const {
                    &::gelwright_base::noun::Shape::Variants(&::gelwright_base::noun::Variants {
                        name: #title,
                        doc: #about,
                        path: ::core::module_path!(),
                        read: |value, r| <Self as ::gelwright_base::noun::Noun>::read(value, r).is_some(),
                        tag: #tag,
                        variants: &[#(#entries),*],
                    })
                }
            }
            fn read(
                value: &::gelwright_base::noun::Value,
                r: &mut ::gelwright_base::noun::Reader,
            ) -> Option<Self> {
                let shape = <Self as ::gelwright_base::noun::Noun>::shape();
                let (which, held) = r.variant(value, shape)?;
                let made = match which { #(#reads)* _ => None };
                #check
                made
            }
        }
    })
}

/// An alternative with named fields: its content, its walk, its reading.
fn named(ident: &Ident, i: usize, fields: &Fields) -> Result<(TokenStream, TokenStream, TokenStream)> {
    let all = collect(fields)?;
    let entries = all.iter().map(One::entry).collect::<Result<Vec<_>>>()?;
    let idents: Vec<&Ident> = all.iter().map(|f| &f.ident).collect();
    let bound: Vec<Ident> = all.iter().map(One::held).collect();
    let places = all.iter().map(One::place);
    Ok((
        quote!(::gelwright_base::noun::Content::Fields(&[#(#entries),*])),
        quote!(Self::#ident { #(#idents: #bound),* } => w.variant(shape, #i, &[#(#bound),*]),),
        quote! {
            #i => {
                #(#places)*
                r.variant_fields(&held, shape, #i, &mut [#(&mut #bound),*])?;
                Some(Self::#ident { #(#idents: #bound.take()?),* })
            }
        },
    ))
}

/// For the macro on methods: a parameter's attributes without ours.
pub(crate) fn foreign(attrs: &[Attribute]) -> Vec<&Attribute> {
    attrs
        .iter()
        .filter(|a| !a.path().is_ident("noun") && !a.path().is_ident("doc"))
        .collect()
}
