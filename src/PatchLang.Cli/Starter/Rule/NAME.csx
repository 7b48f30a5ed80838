// rule: NAME
/// Every signal that enters the rig has a label.
///
/// Sheets and channel strips show labels. The people who work from those don't know the names used inside the plan.
#load "patchlang.csx" // for the C# tooling of your editor; the program does without
using System;
using System.Collections.Generic;
using System.Linq;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Rules;

// The lines with `///` are the rule's page: what the house wants and, after the empty line, why.
//
// `Rig` is the plan: units, feeds, networks, cables, clocks, and what the compiler worked out about them. Everything in it knows
// its place in the plan, so a finding appears in the right place. Go to the definition of `Rig` to see what there is.
foreach (var feed in Rig.Feeds.Where(f => f.Origin == FeedOrigin.Socket && f.Label is null))
    Finding(feed, $"{feed} has no label", Severity.Warning);

// NAME.rig is a plan to test the rule on, with the expected findings marked: run `patchlang test-rules`.
