using System.Runtime.CompilerServices;
using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Rules;

/// <summary>The members available to a rule's script: the plan, and a way to report findings.</summary>
public sealed class RuleScript
{
    private readonly List<RuleFinding> found = [];

    /// <summary>Creates the members for a plan.</summary>
    public RuleScript(Rig rig) => Rig = rig;

    /// <summary>The plan.</summary>
    public Rig Rig { get; }

    /// <summary>The findings reported so far.</summary>
    public IReadOnlyList<RuleFinding> Found => found;

    /// <summary>Reports a finding.</summary>
    /// <param name="about">What it is about: a feed, a unit, a channel, a cable … Its place is that of the finding.</param>
    /// <param name="message">One sentence that states the fact with its figures.</param>
    /// <param name="severity">The severity.</param>
    /// <param name="fix">A fix, if there is one.</param>
    /// <param name="see">Other objects concerned, whose places are shown too.</param>
    /// <param name="line">The line in the script; filled in by the C# compiler.</param>
    public void Finding(IPlaced about, Message message, Severity severity = Severity.Warning, Fix? fix = null, IEnumerable<IPlaced>? see = null, [CallerLineNumber] int line = 0)
    {
        ArgumentNullException.ThrowIfNull(about);
        Finding(about.Place, message, severity, fix, see, line);
    }

    /// <summary>Reports a finding at a place.</summary>
    /// <param name="at">The place.</param>
    /// <param name="message">One sentence that states the fact with its figures.</param>
    /// <param name="severity">The severity.</param>
    /// <param name="fix">A fix, if there is one.</param>
    /// <param name="see">Other objects concerned, whose places are shown too.</param>
    /// <param name="line">The line in the script; filled in by the C# compiler.</param>
    public void Finding(Place at, Message message, Severity severity = Severity.Warning, Fix? fix = null, IEnumerable<IPlaced>? see = null, [CallerLineNumber] int line = 0)
    {
        ArgumentNullException.ThrowIfNull(at);
        found.Add(new RuleFinding(at, message.ToString(), severity, fix, [.. see ?? []], line));
    }
}

/// <summary>A finding reported by a rule.</summary>
/// <param name="Place">The place in the plan.</param>
/// <param name="Message">The sentence.</param>
/// <param name="Severity">The severity.</param>
/// <param name="Fix">A fix, if there is one.</param>
/// <param name="See">Other objects concerned.</param>
/// <param name="Line">The line in the script that reported it, from 1.</param>
public sealed record RuleFinding(Place Place, string Message, Severity Severity, Fix? Fix, IReadOnlyList<IPlaced> See, int Line);
