using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>The kinds of repair.</summary>
internal enum RepairKind
{
    /// <summary>Inserts one word or sign.</summary>
    Insert,

    /// <summary>Replaces one or more signs by the one that was meant.</summary>
    Replace,

    /// <summary>Deletes a sign.</summary>
    Delete,

    /// <summary>Puts braces around settings.</summary>
    Wrap,

    /// <summary>Puts words in quotes.</summary>
    Quote,

    /// <summary>Closes, at the end, all brackets that are still open.</summary>
    Close,
}

/// <summary>A change of <paramref name="Count"/> tokens from <paramref name="Token"/> on, after which a shape can be parsed past an error.</summary>
/// <param name="Kind">The kind of repair.</param>
/// <param name="Token">The index of the first token concerned.</param>
/// <param name="Count">The number of tokens it deletes, replaces or wraps.</param>
/// <param name="Added">The kind of token it inserts.</param>
/// <param name="IsWhole">Whether the statement has no other errors once this is repaired.</param>
internal readonly record struct Repair(RepairKind Kind, int Token, int Count, TokenKind Added, bool IsWhole);

/// <summary>
/// Finds repairs by trial: each candidate is applied to the sequence of token kinds, and the result is parsed. The text is never
/// looked at, so the repairs hold for every statement of the shape and are cached with it.
/// </summary>
internal sealed class Repairs
{
    // A longer statement is a list that a program generated; trying repairs on it costs more than it is worth.
    public const int MostTokens = 2_000;

    // Statements with the same mistake try the same candidates. Most candidates are not valid statements, so they have a cache of their own.
    private static readonly ShapeCache Tried = new(4 << 20);

    private readonly Shape shape;
    private readonly ShapeError error;
    private readonly int number;
    private readonly List<TokenKind> changed;
    private readonly ImmutableArray<Repair>.Builder found = ImmutableArray.CreateBuilder<Repair>();

    private Repairs(Shape shape, int number)
    {
        this.shape = shape;
        this.number = number;
        error = shape.Errors[number];
        changed = [.. shape.Tokens];
    }

    /// <summary>The repairs for one of a shape's errors: insertions first, then the others.</summary>
    public static ImmutableArray<Repair> Of(Shape shape, int number)
    {
        if (shape.Tokens.Length > MostTokens) return [];
        var repairs = new Repairs(shape, number);
        if (shape.Errors[number].Token == shape.Tokens.Length) repairs.TryAtEnd();
        else repairs.Try();
        return repairs.found.DrainToImmutable();
    }

    /// <summary>Parses a sequence of kinds that need not occur in any text.</summary>
    public static Shape Parse(ReadOnlySpan<TokenKind> kinds) => Tried.ShapeOf(kinds);

    /// <summary>Whether changing the kind of one token removes one of a shape's errors and adds no new one.</summary>
    public static bool Mends(Shape shape, int number, int token, TokenKind kind)
    {
        if (shape.Tokens.Length > MostTokens) return false;
        var repairs = new Repairs(shape, number);
        repairs.changed[token] = kind;
        return repairs.IsBetter(0, out _);
    }

    /// <summary>Whether inserting a token removes one of a shape's errors and adds no new one.</summary>
    public static bool MendsBefore(Shape shape, int number, int token, TokenKind kind)
    {
        if (shape.Tokens.Length > MostTokens) return false;
        var repairs = new Repairs(shape, number);
        repairs.changed.Insert(token, kind);
        return repairs.IsBetter(1, out _);
    }

    /// <summary>The indices of the brackets still open before a token, the outermost first.</summary>
    public static List<int> OpenBefore(ReadOnlySpan<TokenKind> kinds, int token)
    {
        var open = new List<int>();
        for (var i = 0; i < token; i++)
        {
            if (Spelling.CloserOf(kinds[i]) != TokenKind.None) open.Add(i);
            else if (kinds[i].IsCloser() && open.Count > 0 && Spelling.CloserOf(kinds[open[^1]]) == kinds[i]) open.RemoveAt(open.Count - 1);
        }
        return open;
    }

    private void TryAtEnd()
    {
        var open = OpenBefore(shape.Tokens.AsSpan(), shape.Tokens.Length);
        if (open.Count > 0)
        {
            for (var i = open.Count - 1; i >= 0; i--) changed.Add(Spelling.CloserOf(shape.Tokens[open[i]]));
            Keep(RepairKind.Close, error.Token, open.Count, changed[^1], open.Count);
        }
        if (error.Token > 0 && shape.Tokens[error.Token - 1] == TokenKind.Comma) TryDelete(error.Token - 1);
    }

    private void Try()
    {
        var at = error.Token;
        var here = shape.Tokens[at];
        // `to[…]` folds sides, and only inside a sum; elsewhere it is not a name that something is missing before.
        var isFold = here == TokenKind.To && at + 1 < shape.Tokens.Length && shape.Tokens[at + 1] == TokenKind.OpenBracket;
        if (isFold) return;
        foreach (var kind in error.Expected)
            if (CanBeMissing(kind) && !(here.IsCloser() && Spelling.CloserOf(kind) != TokenKind.None)) TryInsert(at, kind);
        // An item that follows a list without a comma may have been parsed as a setting of its own.
        if (at > 1 && shape.Tokens[at - 1] == TokenKind.Name && error.Expected.Contains(TokenKind.CloseBrace)) TryInsert(at - 1, TokenKind.Comma);

        if (error.Expected.Contains(TokenKind.Arrow))
            for (var count = 1; count <= 3 && at + count <= shape.Tokens.Length && CanBeArrow(shape.Tokens[at + count - 1]); count++)
                TryReplace(at, count, TokenKind.Arrow);
        if (here.IsSign())
        {
            foreach (var kind in error.Expected)
                if (kind.IsSign() && kind != TokenKind.Arrow && CanStandFor(here, kind)) TryReplace(at, 1, kind);
            // Behind a dot it is a name that is missing.
            if (found.Count == 0 && here is not (TokenKind.Dot or TokenKind.Dots) && (at == 0 || shape.Tokens[at - 1] != TokenKind.Dot)) TryDelete(at);
        }
        if (at > 1 && shape.Tokens[at - 1] == TokenKind.Comma && here != TokenKind.Dot) TryDelete(at - 1);
        if (error.Expected.Contains(TokenKind.String) && here.CanBeName()) TryQuote(at);
        if (error.Expected.Contains(TokenKind.OpenBrace) && !here.IsSign()) TryWrap(at);
    }

    private void TryInsert(int token, TokenKind kind)
    {
        changed.Insert(token, kind);
        Keep(RepairKind.Insert, token, 0, kind, 1);
    }

    private void TryReplace(int token, int count, TokenKind kind)
    {
        changed.RemoveRange(token, count);
        changed.Insert(token, kind);
        Keep(RepairKind.Replace, token, count, kind, 1 - count);
    }

    private void TryQuote(int token)
    {
        const int most = 6;
        for (var count = 1; count <= most && token + count <= shape.Tokens.Length && shape.Tokens[token + count - 1].CanBeName(); count++)
        {
            if (token + count < shape.Tokens.Length && shape.Tokens[token + count].CanBeName()) continue;
            changed.RemoveRange(token, count);
            changed.Insert(token, TokenKind.String);
            Keep(RepairKind.Quote, token, count, TokenKind.String, 1 - count);
        }
    }

    private void TryDelete(int token)
    {
        changed.RemoveAt(token);
        Keep(RepairKind.Delete, token, 1, TokenKind.None, -1);
    }

    private void TryWrap(int token)
    {
        var end = shape.Tokens.AsSpan()[token..].IndexOf(TokenKind.During);
        end = end < 0 ? shape.Tokens.Length : token + end;
        changed.Insert(end, TokenKind.CloseBrace);
        changed.Insert(token, TokenKind.OpenBrace);
        Keep(RepairKind.Wrap, token, end - token, TokenKind.OpenBrace, 2);
    }

    private void Keep(RepairKind kind, int token, int count, TokenKind added, int growth)
    {
        // Deleting something is a guess, acceptable only if nothing else is wrong with the statement.
        if (IsBetter(growth, out var isWhole) && (isWhole || kind != RepairKind.Delete)) found.Add(new Repair(kind, token, count, added, isWhole));
        changed.Clear();
        changed.AddRange(shape.Tokens);
    }

    // The earlier errors stay, this one goes, and no new one takes its place.
    private bool IsBetter(int growth, out bool isWhole)
    {
        var errors = Parse(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(changed)).Errors;
        isWhole = errors.IsEmpty;
        if (errors.Length >= shape.Errors.Length) return false;
        for (var i = 0; i < Math.Min(number, errors.Length); i++)
            if (errors[i].Token != shape.Errors[i].Token) return false;
        return errors.Length <= number || errors[number].Token - growth > error.Token + 1;
    }

    // A missing dot between two names is never suggested: they are more likely two separate names.
    private bool CanBeMissing(TokenKind kind) => kind switch
    {
        TokenKind.Dot or TokenKind.Plus or TokenKind.Minus or TokenKind.OpenBracket => false,
        // The direction of a limit can be inferred (at most for latency, at least for headroom), so only that comparison is suggested.
        TokenKind.Less or TokenKind.Greater => false,
        TokenKind.LessEqual => error.Rule == NodeKind.ExpectLatency,
        TokenKind.GreaterEqual => error.Rule != NodeKind.ExpectLatency,
        TokenKind.At or TokenKind.Except => error.Expected.Length <= 2,
        _ when kind.IsSign() => true,
        TokenKind.As or TokenKind.By or TokenKind.For or TokenKind.From or TokenKind.Hears or TokenKind.Standby
            or TokenKind.Through or TokenKind.To or TokenKind.Ways or TokenKind.Most => !error.Expected.Contains(TokenKind.Name),
        _ => false,
    };

    private static bool CanBeArrow(TokenKind kind) =>
        kind is TokenKind.Minus or TokenKind.Equal or TokenKind.Greater or TokenKind.GreaterEqual or TokenKind.Arrow;

    // Signs that are commonly mistaken for one another: separators, and brackets on the same side.
    private static bool CanStandFor(TokenKind written, TokenKind meant) => meant switch
    {
        TokenKind.CloseBrace or TokenKind.CloseBracket or TokenKind.CloseParen => written.IsCloser(),
        TokenKind.OpenBrace or TokenKind.OpenBracket or TokenKind.OpenParen => Spelling.CloserOf(written) != TokenKind.None,
        TokenKind.Colon or TokenKind.Equal => written is TokenKind.Colon or TokenKind.Equal or TokenKind.Arrow,
        TokenKind.Dots => written is TokenKind.Minus or TokenKind.Dot or TokenKind.Colon,
        TokenKind.Comma => written is TokenKind.Plus,
        _ => false,
    };
}
