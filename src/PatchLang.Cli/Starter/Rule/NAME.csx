// rule: NAME
/// Every signal that enters the rig has a label.
///
/// Sheets and channel strips show labels. Who works from those does not know the names that the plan has for itself.
#load "patchlang.csx" // for the C# tooling of your editor; the program does without
using System;
using System.Collections.Generic;
using System.Linq;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Rules;

// What stands behind `///` is the rule's page: what the house wants and, behind the empty line, why.
//
// `Rig` is the plan: units, feeds, networks, cables, clocks, and what the compiler worked out of them. Whatever is in it knows
// where the plan says it, so a finding stands in the right place. Go to the definition of `Rig` to see what there is.
foreach (var feed in Rig.Feeds.Where(f => f.Origin == FeedOrigin.Socket && f.Label is null))
    Finding(feed, $"{feed} has no label", Severity.Warning);

// NAME.rig is a plan to try it on: what has to be found there is marked. `patchlang test-rules` holds the rule to it.
