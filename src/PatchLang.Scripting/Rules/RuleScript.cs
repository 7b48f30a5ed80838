using System.Runtime.CompilerServices;
using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Rules;

/// <summary>What a rule's script finds ready: the plan, and the way to say that something was found in it.</summary>
public sealed class RuleScript
{
    private readonly List<RuleFinding> found = [];

    /// <summary>What a script finds of a plan.</summary>
    public RuleScript(Rig rig) => Rig = rig;

    /// <summary>The plan.</summary>
    public Rig Rig { get; }

    /// <summary>What was found so far.</summary>
    public IReadOnlyList<RuleFinding> Found => found;

    /// <summary>Says that something was found.</summary>
    /// <param name="about">What it is about: a feed, a unit, a channel, a cable … The finding stands at its place.</param>
    /// <param name="message">One sentence that states the fact with its numbers.</param>
    /// <param name="severity">How much it matters.</param>
    /// <param name="fix">A mend, if there is one.</param>
    /// <param name="see">Other things that it concerns, whose places are shown with it.</param>
    /// <param name="line">The script's line; the compiler fills it in.</param>
    public void Finding(IPlaced about, Message message, Severity severity = Severity.Warning, Fix? fix = null, IEnumerable<IPlaced>? see = null, [CallerLineNumber] int line = 0)
    {
        ArgumentNullException.ThrowIfNull(about);
        Finding(about.Place, message, severity, fix, see, line);
    }

    /// <summary>Says that something was found at a place.</summary>
    /// <param name="at">The place.</param>
    /// <param name="message">One sentence that states the fact with its numbers.</param>
    /// <param name="severity">How much it matters.</param>
    /// <param name="fix">A mend, if there is one.</param>
    /// <param name="see">Other things that it concerns, whose places are shown with it.</param>
    /// <param name="line">The script's line; the compiler fills it in.</param>
    public void Finding(Place at, Message message, Severity severity = Severity.Warning, Fix? fix = null, IEnumerable<IPlaced>? see = null, [CallerLineNumber] int line = 0)
    {
        ArgumentNullException.ThrowIfNull(at);
        found.Add(new RuleFinding(at, message.ToString(), severity, fix, [.. see ?? []], line));
    }
}

/// <summary>What a rule said.</summary>
/// <param name="Place">Where in the plan.</param>
/// <param name="Message">Its sentence.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Fix">A mend, if there is one.</param>
/// <param name="See">Other things that it concerns.</param>
/// <param name="Line">The script's line that said it, from 1.</param>
public sealed record RuleFinding(Place Place, string Message, Severity Severity, Fix? Fix, IReadOnlyList<IPlaced> See, int Line);
