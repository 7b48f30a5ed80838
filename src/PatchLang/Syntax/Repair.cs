using System.Collections.Immutable;

namespace PatchLang.Syntax;

/// <summary>What a repair does.</summary>
internal enum RepairKind
{
    /// <summary>Puts one word or sign in.</summary>
    Insert,

    /// <summary>Puts one sign in the place of another, or of several that were written for it.</summary>
    Replace,

    /// <summary>Takes a sign out.</summary>
    Delete,

    /// <summary>Puts braces around settings.</summary>
    Wrap,

    /// <summary>Puts words in quotes.</summary>
    Quote,

    /// <summary>Closes at the end what is still open.</summary>
    Close,
}

/// <summary>A change that lets a shape be read on where it could not: <paramref name="Count"/> tokens from <paramref name="Token"/> on are concerned.</summary>
/// <param name="Kind">What it does.</param>
/// <param name="Token">Where.</param>
/// <param name="Count">How many tokens it takes out or puts in braces.</param>
/// <param name="Added">What it puts in.</param>
/// <param name="IsWhole">Whether nothing else is wrong with the statement.</param>
internal readonly record struct Repair(RepairKind Kind, int Token, int Count, TokenKind Added, bool IsWhole);

/// <summary>
/// Finds repairs by trying them: each candidate is made and the changed sequence of kinds is parsed. No text is
/// asked for, so what is found holds for every statement of the shape, and is kept with it.
/// </summary>
internal sealed class Repairs
{
    // Beyond this a statement is a list that a program wrote, and trying costs more than it tells.
    public const int MostTokens = 2_000;

    // Statements with the same mistake ask for the same candidates. Most of these are no statements, so they have a cache of their own.
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

    /// <summary>The repairs of one of a shape's errors: insertions first, then the others.</summary>
    public static ImmutableArray<Repair> Of(Shape shape, int number)
    {
        if (shape.Tokens.Length > MostTokens) return [];
        var repairs = new Repairs(shape, number);
        if (shape.Errors[number].Token == shape.Tokens.Length) repairs.TryAtEnd();
        else repairs.Try();
        return repairs.found.DrainToImmutable();
    }

    /// <summary>The parse of a sequence of kinds that no text need have.</summary>
    public static Shape Parse(ReadOnlySpan<TokenKind> kinds) => Tried.ShapeOf(kinds);

    /// <summary>Whether one of a shape's errors, and no other, goes when a token's kind is another.</summary>
    public static bool Mends(Shape shape, int number, int token, TokenKind kind)
    {
        if (shape.Tokens.Length > MostTokens) return false;
        var repairs = new Repairs(shape, number);
        repairs.changed[token] = kind;
        return repairs.IsBetter(0, out _);
    }

    /// <summary>Whether one of a shape's errors, and no other, goes when something is put in before a token.</summary>
    public static bool MendsBefore(Shape shape, int number, int token, TokenKind kind)
    {
        if (shape.Tokens.Length > MostTokens) return false;
        var repairs = new Repairs(shape, number);
        repairs.changed.Insert(token, kind);
        return repairs.IsBetter(1, out _);
    }

    /// <summary>The brackets that are still open before a token, the outermost first.</summary>
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
        // Sides are folded inside a sum alone; elsewhere `to` is no name that something is missing before.
        var isFold = here == TokenKind.To && at + 1 < shape.Tokens.Length && shape.Tokens[at + 1] == TokenKind.OpenBracket;
        if (isFold) return;
        foreach (var kind in error.Expected)
            if (CanBeMissing(kind) && !(here.IsCloser() && Spelling.CloserOf(kind) != TokenKind.None)) TryInsert(at, kind);
        // What follows the last thing of a list without a comma may have been taken for a setting of its own.
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
        // Taking something out is a guess that only a statement with nothing else wrong can bear out.
        if (IsBetter(growth, out var isWhole) && (isWhole || kind != RepairKind.Delete)) found.Add(new Repair(kind, token, count, added, isWhole));
        changed.Clear();
        changed.AddRange(shape.Tokens);
    }

    // The errors before this one stay, this one goes, and no new one comes up in its place.
    private bool IsBetter(int growth, out bool isWhole)
    {
        var errors = Parse(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(changed)).Errors;
        isWhole = errors.IsEmpty;
        if (errors.Length >= shape.Errors.Length) return false;
        for (var i = 0; i < Math.Min(number, errors.Length); i++)
            if (errors[i].Token != shape.Errors[i].Token) return false;
        return errors.Length <= number || errors[number].Token - growth > error.Token + 1;
    }

    // A dot is never forgotten between two names: they would be two names.
    private bool CanBeMissing(TokenKind kind) => kind switch
    {
        TokenKind.Dot or TokenKind.Plus or TokenKind.Minus or TokenKind.OpenBracket => false,
        // Which way a limit is meant goes without saying; that it is one does not.
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

    // Signs that are written for one another: dividers, and brackets of the same hand.
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
