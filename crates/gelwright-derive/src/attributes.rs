//! What stands in `#[noun(...)]` and in doc comments.

use proc_macro2::TokenStream;
use quote::quote;
use syn::parse::Parse;
use syn::{
    Attribute, Expr, ExprLit, ExprUnary, Lit, LitStr, Meta, Result, Token, UnOp, parenthesized, parse_quote,
};

/// The doc comment, its lines joined as Markdown joins them.
pub(crate) fn doc(attrs: &[Attribute]) -> String {
    let mut text = String::new();
    for a in attrs {
        let Meta::NameValue(nv) = &a.meta else { continue };
        if !nv.path.is_ident("doc") {
            continue;
        }
        if let Expr::Lit(ExprLit { lit: Lit::Str(s), .. }) = &nv.value {
            let line = s.value();
            let line = line.strip_prefix(' ').unwrap_or(&line);
            if !text.is_empty() {
                text.push('\n');
            }
            text.push_str(line.trim_end());
        }
    }
    text
}

/// What a type says of itself.
#[derive(Default)]
pub(crate) struct Container {
    pub(crate) open: bool,
    pub(crate) written: bool,
    pub(crate) check: bool,
    pub(crate) tag: Option<String>,
    pub(crate) via: Option<syn::Type>,
    pub(crate) versions: Option<syn::Path>,
    pub(crate) name: Option<String>,
}

impl Container {
    pub(crate) fn read(attrs: &[Attribute]) -> Result<Self> {
        let mut c = Container::default();
        for a in attrs.iter().filter(|a| a.path().is_ident("noun")) {
            a.parse_nested_meta(|m| {
                if m.path.is_ident("open") {
                    c.open = true;
                } else if m.path.is_ident("written") {
                    c.written = true;
                } else if m.path.is_ident("check") {
                    c.check = true;
                } else if m.path.is_ident("tag") {
                    c.tag = Some(m.value()?.parse::<LitStr>()?.value());
                } else if m.path.is_ident("via") {
                    c.via = Some(m.value()?.parse::<LitStr>()?.parse()?);
                } else if m.path.is_ident("versions") {
                    c.versions = Some(m.value()?.parse::<LitStr>()?.parse()?);
                } else if m.path.is_ident("name") {
                    c.name = Some(m.value()?.parse::<LitStr>()?.value());
                } else {
                    return Err(m.error(
                        "a noun knows: open, written, check, tag = \"..\", via = \"..\", versions = \"..\", name = \"..\"",
                    ));
                }
                Ok(())
            })?;
        }
        Ok(c)
    }
}

/// A field's default.
pub(crate) enum Given {
    /// As a document writes it.
    Literal(Literal),
    /// A value of the field's type, and how it is written here.
    Value(Expr),
}

impl Given {
    fn read(e: Expr) -> Self {
        literal(&e).map_or(Given::Value(e), Given::Literal)
    }
}

/// What a field says of itself.
#[derive(Default)]
pub(crate) struct OfField {
    pub(crate) default: Option<Given>,
    pub(crate) within: Option<Within>,
    pub(crate) name: Option<String>,
    pub(crate) flat: bool,
    pub(crate) skip: bool,
}

/// A field's range.
pub(crate) enum Within {
    /// Written at the field.
    Here(Box<Ends>),
    /// A constant that several fields share.
    Named(syn::Path),
}

impl Within {
    pub(crate) fn tokens(&self) -> Result<TokenStream> {
        match self {
            Within::Here(ends) => ends.tokens(),
            Within::Named(path) => Ok(quote!(#path)),
        }
    }

    pub(crate) fn words(&self) -> String {
        match self {
            Within::Here(ends) => ends.words(),
            Within::Named(path) => path
                .segments
                .last()
                .map_or_else(String::new, |s| format!("`{}`", s.ident)),
        }
    }
}

/// What a range is made of.
pub(crate) struct Ends {
    low: Option<Expr>,
    above: bool,
    high: Option<Expr>,
    below: bool,
    way_out: String,
}

impl OfField {
    pub(crate) fn read(attrs: &[Attribute]) -> Result<Self> {
        let mut f = OfField::default();
        for a in attrs.iter().filter(|a| a.path().is_ident("noun")) {
            a.parse_nested_meta(|m| {
                if m.path.is_ident("default") {
                    f.default = Some(if m.input.peek(Token![=]) {
                        Given::read(m.value()?.parse()?)
                    } else {
                        Given::Value(parse_quote!(::core::default::Default::default()))
                    });
                } else if m.path.is_ident("within") {
                    f.within = Some(if m.input.peek(Token![=]) {
                        Within::Named(m.value()?.parse()?)
                    } else {
                        let inner;
                        parenthesized!(inner in m.input);
                        Within::Here(Box::new(inner.parse()?))
                    });
                } else if m.path.is_ident("name") {
                    f.name = Some(m.value()?.parse::<LitStr>()?.value());
                } else if m.path.is_ident("flat") {
                    f.flat = true;
                } else if m.path.is_ident("skip") {
                    f.skip = true;
                } else {
                    return Err(
                        m.error("a field knows: default, within(low, high), within = RANGE, name = \"..\", flat, skip")
                    );
                }
                Ok(())
            })?;
        }
        Ok(f)
    }
}

impl Parse for Ends {
    /// `low, high[, "way out"]`: an end is a literal; `..` is open; `> x` and `< x` leave the end itself out.
    fn parse(input: syn::parse::ParseStream<'_>) -> Result<Self> {
        let mut above = false;
        let mut below = false;
        let low = end(input, &mut above, &mut below)?;
        input.parse::<Token![,]>()?;
        let high = end(input, &mut above, &mut below)?;
        let way_out = if input.parse::<Option<Token![,]>>()?.is_some() && !input.is_empty() {
            input.parse::<LitStr>()?.value()
        } else {
            String::new()
        };
        Ok(Ends {
            low,
            above,
            high,
            below,
            way_out,
        })
    }
}

impl Ends {
    pub(crate) fn tokens(&self) -> Result<TokenStream> {
        let end = |e: &Option<Expr>| -> Result<TokenStream> {
            Ok(match e {
                None => quote!(None),
                Some(e) => match literal(e)? {
                    Literal::Text(t) => quote!(Some(::gelwright_base::noun::End::Text(#t))),
                    Literal::Whole(n) => quote!(Some(::gelwright_base::noun::End::Number(#n as f64))),
                    Literal::Number(x) => quote!(Some(::gelwright_base::noun::End::Number(#x))),
                    Literal::Bool(_) => {
                        return Err(syn::Error::new_spanned(e, "an end is a number or a quantity"));
                    }
                },
            })
        };
        let (low, high) = (end(&self.low)?, end(&self.high)?);
        let (above, below, way_out) = (self.above, self.below, &self.way_out);
        Ok(quote! {
            ::gelwright_base::noun::Range { low: #low, above: #above, high: #high, below: #below, way_out: #way_out }
        })
    }

    pub(crate) fn words(&self) -> String {
        let text = |e: &Expr| literal(e).map_or_else(|_| String::new(), |l| l.to_string());
        match (&self.low, &self.high) {
            (Some(a), Some(b)) => format!(
                "{}{} to {}{}",
                if self.above { "more than " } else { "" },
                text(a),
                if self.below { "less than " } else { "" },
                text(b)
            ),
            (Some(a), None) if self.above => format!("more than {}", text(a)),
            (Some(a), None) => format!("{} or more", text(a)),
            (None, Some(b)) if self.below => format!("less than {}", text(b)),
            (None, Some(b)) => format!("{} or less", text(b)),
            (None, None) => String::new(),
        }
    }
}

fn end(input: syn::parse::ParseStream<'_>, above: &mut bool, below: &mut bool) -> Result<Option<Expr>> {
    if input.parse::<Option<Token![..]>>()?.is_some() {
        return Ok(None);
    }
    if input.parse::<Option<Token![>]>>()?.is_some() {
        *above = true;
    } else if input.parse::<Option<Token![<]>>()?.is_some() {
        *below = true;
    }
    input.parse().map(Some)
}

/// What a document may write.
pub(crate) enum Literal {
    Text(String),
    Number(f64),
    Whole(i128),
    Bool(bool),
}

impl std::fmt::Display for Literal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Literal::Text(t) => f.write_str(t),
            Literal::Number(x) => x.fmt(f),
            Literal::Whole(n) => n.fmt(f),
            Literal::Bool(b) => b.fmt(f),
        }
    }
}

pub(crate) fn literal(e: &Expr) -> Result<Literal> {
    match e {
        Expr::Lit(ExprLit { lit: Lit::Str(s), .. }) => Ok(Literal::Text(s.value())),
        Expr::Lit(ExprLit {
            lit: Lit::Float(x), ..
        }) => Ok(Literal::Number(x.base10_parse()?)),
        Expr::Lit(ExprLit { lit: Lit::Int(n), .. }) => Ok(Literal::Whole(n.base10_parse()?)),
        Expr::Lit(ExprLit {
            lit: Lit::Bool(b), ..
        }) => Ok(Literal::Bool(b.value)),
        Expr::Unary(ExprUnary {
            op: UnOp::Neg(_),
            expr,
            ..
        }) => Ok(match literal(expr)? {
            Literal::Number(x) => Literal::Number(-x),
            Literal::Whole(n) => Literal::Whole(-n),
            _ => return Err(syn::Error::new_spanned(e, "a literal is needed")),
        }),
        other => Err(syn::Error::new_spanned(
            other,
            "a literal is needed: \"20 degC\", 2.0, 5, true",
        )),
    }
}
