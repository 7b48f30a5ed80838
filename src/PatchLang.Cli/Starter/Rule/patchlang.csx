// For the C# tooling of your editor: what `patchlang` gives a rule when it runs it. The program takes no notice of this file.
// It names a place on this computer, so leave it out of your repository; `patchlang new --rule` writes it anew.
#r "SCRIPTS/PatchLang.Scripting.dll"
#r "SCRIPTS/PatchLang.dll"
using System;
using System.Collections.Generic;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Rules;

RuleScript Given => throw new InvalidOperationException("A rule is run by patchlang.");

/// <summary>The plan.</summary>
Rig Rig => Given.Rig;

/// <summary>Says that something was found.</summary>
/// <param name="about">What it is about: a feed, a unit, a channel, a cable. The finding stands at its place.</param>
/// <param name="message">One sentence that states the fact with its numbers.</param>
/// <param name="severity">How much it matters.</param>
/// <param name="fix">A mend, if there is one.</param>
/// <param name="see">Other things that it concerns.</param>
void Finding(IPlaced about, Message message, Severity severity = Severity.Warning, Fix fix = null, IEnumerable<IPlaced> see = null) => Given.Finding(about, message, severity, fix, see);

/// <summary>Says that something was found at a place.</summary>
void Finding(Place at, Message message, Severity severity = Severity.Warning, Fix fix = null, IEnumerable<IPlaced> see = null) => Given.Finding(at, message, severity, fix, see);
