using System.Text.Json.Serialization;

namespace PatchLang.LanguageServer.Protocol;

// Our own messages, which are not part of the protocol; the project's README.md describes them.

/// <summary>A document, or no document for all plans; with a range, only what is in it.</summary>
internal sealed record PlanQuestion
{
    public string? Uri { get; init; }

    public Range? Range { get; init; }
}

/// <summary>The result of one expectation of a plan.</summary>
/// <param name="Name">The expectation as the plan writes it, on one line.</param>
/// <param name="Uri">The document that contains it.</param>
/// <param name="Range">Its range.</param>
/// <param name="State">One of the constants below.</param>
/// <param name="Plan">The document of the plan's root.</param>
internal sealed record ExpectationResult(string Name, string Uri, Range Range, string State, string Plan)
{
    public const string Held = "held";
    public const string Broken = "broken";
    public const string Undecided = "undecided";

    /// <summary>The computed figure, with its unit.</summary>
    public string? Figure { get; init; }

    /// <summary>Why it does not hold, or is undecided.</summary>
    public string? Message { get; init; }

    /// <summary>The code of the corresponding finding.</summary>
    public string? Code { get; init; }

    /// <summary>The reason for which the plan allows it to be broken.</summary>
    public string? AllowedBecause { get; init; }

    /// <summary>The acts in which it was checked; omitted in a plan without acts.</summary>
    public string[]? Acts { get; init; }
}

/// <summary>The state of a plan.</summary>
/// <param name="Plan">The document of its root.</param>
/// <param name="Errors">The number of errors in all its files.</param>
/// <param name="Warnings">The number of warnings.</param>
/// <param name="Notes">The number of notes.</param>
/// <param name="Hints">The number of hints.</param>
/// <param name="Rate">The sample rate of every unit that states none, in hertz.</param>
/// <param name="Timekeepers">The clocks that the plan declares as timekeepers.</param>
/// <param name="Leaders">The free-running clocks that others follow, those with the most followers first.</param>
internal sealed record PlanStatus(string Plan, int Errors, int Warnings, int Notes, int Hints, double Rate, string[] Timekeepers, string[] Leaders)
{
    /// <summary>The plan's title, if it has one.</summary>
    public string? Title { get; init; }
}

/// <summary>A notification that plans have changed.</summary>
/// <param name="Plans">The documents of their roots.</param>
internal sealed record PlansChanged(string[] Plans);

internal sealed record ExecuteCommandParams([property: JsonPropertyName("command")] string Name)
{
    public System.Text.Json.JsonElement[]? Arguments { get; init; }
}

internal sealed record ShowMessageParams(MessageType Type, string Message);
