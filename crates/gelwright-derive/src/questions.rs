//! Methods and functions that can be asked through the door.

use proc_macro2::{Span, TokenStream};
use quote::{format_ident, quote};
use syn::punctuated::Punctuated;
use syn::{
    Attribute, FnArg, GenericArgument, Ident, ImplItem, Item, ItemFn, ItemImpl, LitStr, Pat, PathArguments,
    Result, ReturnType, Signature, Token, Type, parse_quote,
};

use crate::attributes::{OfField, doc};
use crate::noun::{foreign, snake};

/// What stands in `#[question("heat.wall", long)]`.
struct Asked {
    name: String,
    long: bool,
}

fn asked(attr: &Attribute) -> Result<Asked> {
    attr.parse_args_with(named)
}

fn named(input: syn::parse::ParseStream<'_>) -> Result<Asked> {
    let name = input.parse::<LitStr>()?.value();
    let mut long = false;
    if input.parse::<Option<Token![,]>>()?.is_some() && !input.is_empty() {
        let word: Ident = input.parse()?;
        if word != "long" {
            return Err(syn::Error::new(
                word.span(),
                "a question is \"module.name\", or \"module.name\", long",
            ));
        }
        long = true;
    }
    Ok(Asked { name, long })
}

/// The entries stand behind the using crate's feature `door`: a Rust caller who only computes compiles none.
///
/// `#[questions]` on an `impl` block (its arguments, where given, are what a request calls the noun, and in capitals what
/// the list is called instead of `QUESTIONS`), or `#[questions("module.name")]` on a function.
pub(crate) fn expand(arguments: TokenStream, input: TokenStream) -> Result<TokenStream> {
    match syn::parse2::<Item>(input)? {
        Item::Impl(block) => of_block(arguments, block),
        Item::Fn(f) => of_function(arguments, f),
        other => Err(syn::Error::new_spanned(
            other,
            "questions are methods of an impl block, or a function",
        )),
    }
}

fn of_block(arguments: TokenStream, mut block: ItemImpl) -> Result<TokenStream> {
    let ty = (*block.self_ty).clone();
    let given = Punctuated::<Ident, Token![,]>::parse_terminated;
    let (lists, subjects): (Vec<Ident>, Vec<Ident>) = syn::parse::Parser::parse2(given, arguments)?
        .into_iter()
        .partition(|i| i.to_string().starts_with(char::is_uppercase));
    let subject = match (subjects.first(), &ty) {
        (Some(given), _) => given.to_string(),
        (None, Type::Path(p)) => p
            .path
            .segments
            .last()
            .map_or_else(String::new, |s| snake(&s.ident.to_string())),
        _ => String::new(),
    };
    let list = lists
        .into_iter()
        .next()
        .unwrap_or_else(|| format_ident!("QUESTIONS"));
    let mut entries = vec![];
    let mut requests = vec![];
    for item in &mut block.items {
        let ImplItem::Fn(f) = item else { continue };
        let Some(at) = f.attrs.iter().position(|a| a.path().is_ident("question")) else {
            guard(&f.sig, &mut f.block)?;
            strip(&mut f.sig);
            continue;
        };
        let attr = f.attrs.remove(at);
        let asked = asked(&attr)?;
        let one = question(&asked, &doc(&f.attrs), &f.sig, Some((&ty, &subject)))?;
        guard(&f.sig, &mut f.block)?;
        strip(&mut f.sig);
        entries.push(one.entry);
        requests.push(one.request);
    }
    Ok(quote! {
        #block
        #[cfg(feature = "door")]
        const _: () = {
            #(#requests)*
            impl #ty {
                /// What can be asked of it through the door.
                pub const #list: &'static [::gelwright_base::question::Entry] = &[#(#entries),*];
            }
        };
    })
}

fn of_function(arguments: TokenStream, mut f: ItemFn) -> Result<TokenStream> {
    let asked = syn::parse::Parser::parse2(named, arguments)?;
    let one = question(&asked, &doc(&f.attrs), &f.sig, None)?;
    guard(&f.sig, &mut f.block)?;
    strip(&mut f.sig);
    let constant = format_ident!("{}", f.sig.ident.to_string().to_uppercase());
    let (request, entry) = (one.request, one.entry);
    let about = format!("[`{}`] at the door.", f.sig.ident);
    Ok(quote! {
        #f
        #[cfg(feature = "door")]
        #[doc = #about]
        pub const #constant: ::gelwright_base::question::Entry = {
            #request
            #entry
        };
    })
}

struct Made {
    request: TokenStream,
    entry: TokenStream,
}

/// A parameter as a request holds it, and how it is handed on.
struct Parameter {
    /// What the request calls it; none for what is not in the request.
    name: Option<String>,
    field: TokenStream,
    pass: TokenStream,
}

fn question(asked: &Asked, about: &str, sig: &Signature, of: Option<(&Type, &str)>) -> Result<Made> {
    let (name, long) = (&asked.name, asked.long);
    let method = sig.ident.to_string();
    let ident = &sig.ident;
    let mut parameters = vec![];
    let mut receiver = false;
    for input in &sig.inputs {
        match input {
            FnArg::Receiver(_) => receiver = true,
            FnArg::Typed(p) => {
                let Pat::Ident(id) = &*p.pat else {
                    return Err(syn::Error::new_spanned(
                        &p.pat,
                        "a question's parameters have plain names",
                    ));
                };
                parameters.push(parameter(&id.ident, &p.ty, &p.attrs)?);
            }
        }
    }
    let passes = parameters.iter().map(|p| &p.pass);
    let fields: Vec<&TokenStream> = parameters
        .iter()
        .map(|p| &p.field)
        .filter(|f| !f.is_empty())
        .collect();
    let names: Vec<&String> = parameters.iter().filter_map(|p| p.name.as_ref()).collect();
    let (answer, fallible) = answered(&sig.output)?;
    let request_type = format_ident!("Asked_{}", method);
    let (request, request_type, subject, call) = match (receiver, of) {
        (true, Some((ty, _))) if fields.is_empty() => (
            quote!(),
            quote!(#ty),
            quote!(Some("")),
            quote!(q.#ident(#(#passes),*)),
        ),
        (true, Some((ty, subject))) => {
            let s = Ident::new(subject, Span::call_site());
            let said = format!("The {}.", subject.replace('_', " "));
            (
                quote! {
                    #[allow(non_camel_case_types)]
                    #[derive(::gelwright_base::noun::Noun)]
                    #[noun(name = #name)]
                    struct #request_type { #[doc = #said] #s: #ty, #(#fields),* }
                },
                quote!(#request_type),
                quote!(Some(#subject)),
                quote!(q.#s.#ident(#(#passes),*)),
            )
        }
        (false, of) => {
            let path = match of {
                Some((ty, _)) => quote!(<#ty>::#ident),
                None => quote!(#ident),
            };
            (
                quote! {
                    #[allow(non_camel_case_types)]
                    #[derive(::gelwright_base::noun::Noun)]
                    #[noun(name = #name)]
                    struct #request_type { #(#fields),* }
                },
                quote!(#request_type),
                quote!(None),
                quote!(#path(#(#passes),*)),
            )
        }
        (true, None) => return Err(syn::Error::new_spanned(sig, "a function has no self")),
    };
    let call = match (fallible, of) {
        (true, Some((ty, subject))) if receiver && !fields.is_empty() => quote! {
            #call.map_err(|e| ::gelwright_base::question::of_subject(
                e, #subject, <#ty as ::gelwright_base::noun::Noun>::shape(), &[#(#names),*],
            ))?
        },
        (true, _) => quote!(#call?),
        (false, _) => call,
    };
    let noun = match of {
        Some((ty, _)) => quote!(Some(<#ty as ::gelwright_base::noun::Noun>::shape)),
        None => quote!(None),
    };
    Ok(Made {
        request,
        entry: quote! {
            ::gelwright_base::question::Entry {
                name: #name,
                about: #about,
                long: #long,
                noun: #noun,
                subject: #subject,
                method: #method,
                request: <#request_type as ::gelwright_base::noun::Noun>::shape,
                answer: <#answer as ::gelwright_base::noun::Noun>::shape,
                ask: |asked, cancel, tell| {
                    let q: #request_type = asked.noun()?;
                    let _ = (&q, &cancel);
                    tell(&#call)
                },
            }
        },
    })
}

/// The answer's type, and whether it may be a refusal.
fn answered(output: &ReturnType) -> Result<(Type, bool)> {
    let ReturnType::Type(_, ty) = output else {
        return Err(syn::Error::new_spanned(output, "a question has an answer"));
    };
    if let Type::Path(p) = &**ty
        && let Some(last) = p.path.segments.last()
        && last.ident == "Result"
        && let PathArguments::AngleBracketed(args) = &last.arguments
        && let Some(GenericArgument::Type(inner)) = args.args.first()
    {
        return Ok((inner.clone(), true));
    }
    Ok(((**ty).clone(), false))
}

fn parameter(name: &Ident, ty: &Type, attrs: &[Attribute]) -> Result<Parameter> {
    if let Type::Path(p) = ty
        && p.path.segments.last().is_some_and(|s| s.ident == "Cancel")
    {
        return Ok(Parameter {
            name: None,
            field: quote!(),
            pass: quote!(cancel),
        });
    }
    let about = doc(attrs);
    let ours = attrs.iter().filter(|a| a.path().is_ident("noun"));
    let (owned, pass) = owned(name, ty);
    Ok(Parameter {
        name: Some(OfField::read(attrs)?.name.unwrap_or_else(|| name.to_string())),
        field: quote!(#[doc = #about] #(#ours)* #name: #owned),
        pass,
    })
}

/// What a request holds for a parameter that is borrowed, and how it is lent.
fn owned(name: &Ident, ty: &Type) -> (Type, TokenStream) {
    match ty {
        Type::Reference(r) => match &*r.elem {
            Type::Path(p) if p.path.is_ident("str") => (parse_quote!(String), quote!(&q.#name)),
            Type::Slice(s) => {
                let of = &s.elem;
                (parse_quote!(Vec<#of>), quote!(&q.#name))
            }
            other => (other.clone(), quote!(&q.#name)),
        },
        Type::Path(p) => {
            if let Some(last) = p.path.segments.last()
                && last.ident == "Option"
                && let PathArguments::AngleBracketed(args) = &last.arguments
                && let Some(GenericArgument::Type(Type::Reference(r))) = args.args.first()
            {
                return match &*r.elem {
                    Type::Path(p) if p.path.is_ident("str") => {
                        (parse_quote!(Option<String>), quote!(q.#name.as_deref()))
                    }
                    Type::Slice(s) => {
                        let of = &s.elem;
                        (parse_quote!(Option<Vec<#of>>), quote!(q.#name.as_deref()))
                    }
                    other => (parse_quote!(Option<#other>), quote!(q.#name.as_ref())),
                };
            }
            (ty.clone(), quote!(q.#name.clone()))
        }
        _ => (ty.clone(), quote!(q.#name.clone())),
    }
}

/// Has a function check its parameters' ranges first, so that a Rust caller is held to them as a document is.
fn guard(sig: &Signature, body: &mut syn::Block) -> Result<()> {
    if !matches!(answered(&sig.output), Ok((_, true))) {
        return Ok(());
    }
    let mut first: Vec<syn::Stmt> = vec![];
    for input in &sig.inputs {
        let FnArg::Typed(p) = input else { continue };
        let Pat::Ident(id) = &*p.pat else { continue };
        let of = OfField::read(&p.attrs)?;
        if let Some(range) = &of.within {
            let (ident, range) = (&id.ident, range.tokens()?);
            let name = of.name.unwrap_or_else(|| ident.to_string());
            first.push(parse_quote! {
                ::gelwright_base::noun::within(#name, &#ident, const { &#range })?;
            });
        }
    }
    first.append(&mut body.stmts);
    body.stmts = first;
    Ok(())
}

/// Takes what only this macro understands off the parameters; their meaning goes to the documentation by the request.
fn strip(sig: &mut Signature) {
    for input in &mut sig.inputs {
        if let FnArg::Typed(p) = input {
            let kept: Vec<Attribute> = foreign(&p.attrs).into_iter().cloned().collect();
            p.attrs = kept;
        }
    }
}
