using PatchLang.Declarations;

namespace PatchLang.Queries;

/// <summary>
/// Collects proposals and keeps the most likely. Once there are very many, only those that match the letters typed so far are
/// kept, so that a large plan does not create thousands of proposals that nobody would see.
/// </summary>
/// <param name="typed">The letters of the word typed so far.</param>
internal sealed class ProposalList(string typed)
{
    /// <summary>More than anyone reads; the editor asks again as letters are typed.</summary>
    private const int Most = 200;

    private const int LastRank = 4;

    private readonly string letters = typed.ToUpperInvariant();
    private readonly List<Proposal> items = [];
    private readonly HashSet<string> texts = new(StringComparer.Ordinal);
    private readonly int[] countOfRank = new int[LastRank + 1];

    /// <summary>Whether proposals were left out, which more letters would bring up.</summary>
    public bool IsCut { get; private set; }

    /// <summary>The most likely proposals, by rank.</summary>
    public Proposal[] Likeliest => [.. items.OrderBy(i => i.Rank).Take(Most)];

    /// <summary>Adds a text, unless it is already there.</summary>
    public void Add(string text, ProposalSort sort, string? detail, int rank, Subject? subject = null)
    {
        if (IsTaken(text, rank)) items.Add(new Proposal(text, sort, detail, rank) { Subject = subject });
    }

    /// <summary>Adds a symbol for whose name <see cref="IsTaken"/> returned true.</summary>
    public void Take(Symbol symbol, ProposalSort sort, string? detail, int rank) =>
        items.Add(new Proposal(symbol.Name, sort, detail, rank) { Subject = new SymbolSubject([symbol]) });

    /// <summary>Whether a name could become a proposal. Lets the caller skip most names without allocating a string.</summary>
    public bool MayTake(ReadOnlySpan<char> name) => !IsCut || HasLetters(name);

    /// <summary>Whether a text becomes a proposal, and registers it if so. Called before the rest of the proposal is computed.</summary>
    public bool IsTaken(string text, int rank)
    {
        if (IsCut && (IsFull(rank) || !HasLetters(text))) return false;
        if (!texts.Add(text)) return false;
        if (!IsCut && items.Count == Most)
        {
            IsCut = true;
            items.RemoveAll(i => !HasLetters(i.Text));
            Array.Clear(countOfRank);
            foreach (var item in items) countOfRank[item.Rank]++;
            if (!HasLetters(text)) return false;
        }
        countOfRank[rank]++;
        return true;
    }

    /// <summary>Whether nothing of a rank can be among the most likely any more.</summary>
    public bool IsFull(int rank)
    {
        if (!IsCut) return false;
        var count = 0;
        for (var i = 0; i <= rank; i++) count += countOfRank[i];
        return count >= Most;
    }

    /// <summary>Whether a text contains the letters typed so far, in order.</summary>
    private bool HasLetters(ReadOnlySpan<char> text)
    {
        var at = 0;
        for (var i = 0; i < text.Length && at < letters.Length; i++)
            if (char.ToUpperInvariant(text[i]) == letters[at]) at++;
        return at == letters.Length;
    }
}
