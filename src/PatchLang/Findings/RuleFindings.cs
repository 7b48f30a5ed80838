namespace PatchLang.Findings;

/// <summary>PL12: house rules. Rules are scripts, which the compiler does not run: the host runs them and passes in their findings.</summary>
public static class RuleFindings
{
    /// <summary>PL1201: a house rule is broken.</summary>
    public static readonly FindingKind Broken = new("PL1201", Severity.Error, "a house rule is broken");

    /// <summary>PL1202: a house rule asks for a decision.</summary>
    public static readonly FindingKind Questioned = new("PL1202", Severity.Warning, "a house rule asks for a decision");

    /// <summary>PL1203: a house rule points something out.</summary>
    public static readonly FindingKind Noted = new("PL1203", Severity.Note, "a house rule points something out");

    /// <summary>PL1204: a rule that can't be read.</summary>
    public static readonly FindingKind Unreadable = new("PL1204", Severity.Error, "a rule that can't be read");

    /// <summary>PL1205: a rule that failed.</summary>
    public static readonly FindingKind Failed = new("PL1205", Severity.Error, "a rule that failed");

    /// <summary>The kind for a finding that a rule gives.</summary>
    /// <param name="severity">How severe the rule states it is.</param>
    public static FindingKind KindOf(Severity severity) => severity switch
    {
        Severity.Error => Broken,
        Severity.Warning => Questioned,
        _ => Noted,
    };

    /// <summary>Whether a code belongs to house rules, so that only the host that runs them can tell whether it occurs.</summary>
    public static bool IsFromRules(string code) => code.StartsWith("PL12", StringComparison.Ordinal);

    /// <summary>A finding that a rule gives.</summary>
    /// <param name="rule">The rule's name.</param>
    /// <param name="severity">How much it matters.</param>
    /// <param name="message">Its sentence.</param>
    /// <param name="place">Where in the plan.</param>
    public static Finding Of(string rule, Severity severity, string message, Place place) =>
        new(KindOf(severity), $"{message} (rule {rule})", place) { Severity = severity };

    /// <summary>An error that the C# compiler reports in a rule's script.</summary>
    public static Finding CantBeRead(string rule, string message, Place place) => new(Unreadable, $"the rule {rule} can't be read: {message}", place);

    /// <summary>Why a rule did not run to its end, or returned something that can't be used.</summary>
    public static Finding HasFailed(string rule, string why, Place place) => new(Failed, $"the rule {rule} failed: {why}", place);
}
