using PatchLang.Declarations;

namespace PatchLang.Queries;

/// <summary>
/// Gathers what may be written and keeps the likeliest. From where there are very many, only what has the letters typed so far is
/// kept: so in a large plan nothing is made of the thousands that nobody would see.
/// </summary>
/// <param name="typed">The letters of the word that were typed so far.</param>
internal sealed class ProposalList(string typed)
{
    /// <summary>More than anyone reads; an editor asks again as letters are typed.</summary>
    private const int Most = 200;

    private const int LastRank = 4;

    private readonly string letters = typed.ToUpperInvariant();
    private readonly List<Proposal> items = [];
    private readonly HashSet<string> texts = new(StringComparer.Ordinal);
    private readonly int[] countOfRank = new int[LastRank + 1];

    /// <summary>Whether there are more, which other letters would bring up.</summary>
    public bool IsCut { get; private set; }

    /// <summary>The likeliest, in the order of their ranks.</summary>
    public Proposal[] Likeliest => [.. items.OrderBy(i => i.Rank).Take(Most)];

    /// <summary>Proposes a text, unless it is there already.</summary>
    public void Add(string text, ProposalSort sort, string? detail, int rank, Subject? subject = null)
    {
        if (IsTaken(text, rank)) items.Add(new Proposal(text, sort, detail, rank) { Subject = subject });
    }

    /// <summary>Proposes a symbol whose name <see cref="IsTaken"/>.</summary>
    public void Take(Symbol symbol, ProposalSort sort, string? detail, int rank) =>
        items.Add(new Proposal(symbol.Name, sort, detail, rank) { Subject = new SymbolSubject([symbol]) });

    /// <summary>Whether a name may become a proposal: of most that may not, nobody needs a string.</summary>
    public bool MayTake(ReadOnlySpan<char> name) => !IsCut || HasLetters(name);

    /// <summary>Whether a text becomes a proposal, now that it is offered. Asked ahead of working out what stands beside it.</summary>
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

    /// <summary>Whether nothing of a rank can come to be among the likeliest any more.</summary>
    public bool IsFull(int rank)
    {
        if (!IsCut) return false;
        var count = 0;
        for (var i = 0; i <= rank; i++) count += countOfRank[i];
        return count >= Most;
    }

    /// <summary>Whether a text has the letters typed so far, in order.</summary>
    private bool HasLetters(ReadOnlySpan<char> text)
    {
        var at = 0;
        for (var i = 0; i < text.Length && at < letters.Length; i++)
            if (char.ToUpperInvariant(text[i]) == letters[at]) at++;
        return at == letters.Length;
    }
}
