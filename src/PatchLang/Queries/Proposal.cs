using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>What sort of thing is proposed.</summary>
#pragma warning disable CS1591 // the names say it
public enum ProposalSort
{
    Statement,
    Word,
    Setting,
    Value,
    Unit,
    Feed,
    Gear,
    Format,
    Network,
    Loom,
    Act,
    Prefix,
    Part,
    Channel,
    Point,
    File,
}
#pragma warning restore CS1591

/// <summary>Something that may be written at a place.</summary>
/// <param name="Text">What is written.</param>
/// <param name="Sort">What it is.</param>
/// <param name="Detail">A few words beside it; null if there are none.</param>
/// <param name="Rank">The lower the likelier.</param>
public sealed record Proposal(string Text, ProposalSort Sort, string? Detail, int Rank)
{
    /// <summary>What it stands for, if it names something: its description is worked out when asked for.</summary>
    public Subject? Subject { get; init; }
}

/// <summary>What may be written at a place, and what of the text it would replace.</summary>
/// <param name="Replaced">The word at the place, from the file's start.</param>
/// <param name="Items">The proposals, the likeliest first.</param>
/// <param name="IsStatementStart">Whether a new statement may open there.</param>
public sealed record Proposals(TextSpan Replaced, IReadOnlyList<Proposal> Items, bool IsStatementStart)
{
    /// <summary>Whether there are more, which other letters would bring up.</summary>
    public bool IsCut { get; init; }
}
