//! `dryspell synth`: years made from twelve monthly means, or like those of a record.

use dryspell_weather::formats::plain;
use dryspell_weather::synth::Method;

use crate::args::SynthArgs;
use crate::files::{Format, Outputs};
use crate::{Failure, Verdict, source};

/// Makes the years and writes them in the plain format.
pub(crate) fn synth(args: &SynthArgs) -> Result<Verdict, Failure> {
    let method = Method::from_name(&args.method).ok_or_else(|| {
        let names: Vec<&str> = Method::ALL.iter().map(|m| m.name()).collect();
        Failure(vec![format!(
            "--method {}: no such method; one of {}; leave it out for free",
            args.method,
            names.join(", ")
        )])
    })?;
    let inputs: Vec<_> = args.climate.iter().chain(&args.like).collect();
    let target = Outputs::apart_from(&inputs).open("--to", &args.to, &[Format::Csv])?;
    let record = match &args.climate {
        Some(climate) => source::made(climate, method, args.seed, args.years)?,
        None => source::made_like(&args.like, args.seed, args.years)?,
    };
    let mut bytes = Vec::new();
    plain::write(&record, &mut bytes)?;
    target.write(&String::from_utf8(bytes)?)?;
    Ok(Verdict::Answered)
}
