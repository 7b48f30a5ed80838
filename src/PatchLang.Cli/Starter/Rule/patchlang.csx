// For the C# tooling of your editor: what `patchlang` gives a rule when it runs it. The program itself ignores this file.
// It holds a path on this computer, so keep it out of your repository; `patchlang new --rule` writes it again.
#r "SCRIPTS/PatchLang.Scripting.dll"
#r "SCRIPTS/PatchLang.dll"
using System;
using System.Collections.Generic;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Rules;

RuleScript Given => throw new InvalidOperationException("A rule is run by patchlang.");

/// <summary>The plan.</summary>
Rig Rig => Given.Rig;

/// <summary>Reports a finding.</summary>
/// <param name="about">What it is about: a feed, a unit, a channel, a cable. The finding appears at its place in the plan.</param>
/// <param name="message">One sentence that states the fact with its numbers.</param>
/// <param name="severity">How much it matters.</param>
/// <param name="fix">A fix, if there is one.</param>
/// <param name="see">Other things that are involved.</param>
void Finding(IPlaced about, Message message, Severity severity = Severity.Warning, Fix fix = null, IEnumerable<IPlaced> see = null) => Given.Finding(about, message, severity, fix, see);

/// <summary>Reports a finding at a place.</summary>
void Finding(Place at, Message message, Severity severity = Severity.Warning, Fix fix = null, IEnumerable<IPlaced> see = null) => Given.Finding(at, message, severity, fix, see);
