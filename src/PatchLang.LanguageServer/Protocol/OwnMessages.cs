using System.Text.Json.Serialization;

namespace PatchLang.LanguageServer.Protocol;

// Messages that are ours and not the protocol's; README.md beside the project describes them.

/// <summary>A document, or nothing for all plans; with a range, what stands there alone.</summary>
internal sealed record PlanQuestion
{
    public string? Uri { get; init; }

    public Range? Range { get; init; }
}

/// <summary>What came of one promise of a plan.</summary>
/// <param name="Name">The promise as the plan writes it, on one line.</param>
/// <param name="Uri">The document it stands in.</param>
/// <param name="Range">Where.</param>
/// <param name="State">One of the words below.</param>
/// <param name="Plan">The document of the plan's root.</param>
internal sealed record ExpectationResult(string Name, string Uri, Range Range, string State, string Plan)
{
    public const string Held = "held";
    public const string Broken = "broken";
    public const string Undecided = "undecided";

    /// <summary>The figure that came out, with its unit.</summary>
    public string? Figure { get; init; }

    /// <summary>Why it does not hold, or is undecided.</summary>
    public string? Message { get; init; }

    /// <summary>The code of the finding that says so.</summary>
    public string? Code { get; init; }

    /// <summary>Why the plan allows it to be broken.</summary>
    public string? AllowedBecause { get; init; }

    /// <summary>The acts in which it was checked; left out in a plan without acts.</summary>
    public string[]? Acts { get; init; }
}

/// <summary>How a plan stands.</summary>
/// <param name="Plan">The document of its root.</param>
/// <param name="Errors">How many errors it has, in all its files; so for the other numbers.</param>
/// <param name="Warnings">Warnings.</param>
/// <param name="Notes">Notes.</param>
/// <param name="Hints">Hints.</param>
/// <param name="Rate">The rate of every unit that names none, in hertz.</param>
/// <param name="Timekeepers">The clocks that the plan calls timekeepers.</param>
/// <param name="Leaders">The clocks that run free at the end of the chain of some other, those with the most followers first.</param>
internal sealed record PlanStatus(string Plan, int Errors, int Warnings, int Notes, int Hints, double Rate, string[] Timekeepers, string[] Leaders)
{
    /// <summary>The plan's title, if it has one.</summary>
    public string? Title { get; init; }
}

/// <summary>Word that plans are no longer as they were.</summary>
/// <param name="Plans">The documents of their roots.</param>
internal sealed record PlansChanged(string[] Plans);

internal sealed record ExecuteCommandParams([property: JsonPropertyName("command")] string Name)
{
    public System.Text.Json.JsonElement[]? Arguments { get; init; }
}

internal sealed record ShowMessageParams(MessageType Type, string Message);
