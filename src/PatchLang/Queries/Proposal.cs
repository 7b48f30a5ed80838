using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>The sorts of proposals.</summary>
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

/// <summary>Something that could be written at a place.</summary>
/// <param name="Text">The text to write.</param>
/// <param name="Sort">The sort of proposal.</param>
/// <param name="Detail">A few words shown beside it; null if there are none.</param>
/// <param name="Rank">Lower ranks are more likely.</param>
public sealed record Proposal(string Text, ProposalSort Sort, string? Detail, int Rank)
{
    /// <summary>What it names, if anything: its description can be requested separately.</summary>
    public Subject? Subject { get; init; }
}

/// <summary>What could be written at a place, and the text it would replace.</summary>
/// <param name="Replaced">The span of the word at the place, from the start of the file.</param>
/// <param name="Items">The proposals, the most likely first.</param>
/// <param name="IsStatementStart">Whether a new statement can start there.</param>
public sealed record Proposals(TextSpan Replaced, IReadOnlyList<Proposal> Items, bool IsStatementStart)
{
    /// <summary>Whether the list was cut off, so that it has to be requested again when more letters are typed.</summary>
    public bool IsCut { get; init; }
}
