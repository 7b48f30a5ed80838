using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>The classes of text, for syntax colouring.</summary>
#pragma warning disable CS1591 // the names say it
public enum TextClass
{
    Keyword,
    Number,
    Quoted,
    Sign,
    Remark,
    Documentation,
    Setting,
    Element,
    Unit,
    Feed,
    Gear,
    Format,
    Network,
    Loom,
    Act,
    Prefix,
    Part,
    Count,
    SlotKind,
    Name,
}
#pragma warning restore CS1591

/// <summary>A span of text and its class; counted from the start of the file.</summary>
public readonly record struct ClassifiedText(TextSpan Span, TextClass Class, bool IsDeclaration, bool IsLibrary);

/// <summary>Classifies each word, number and comment of a file, statement by statement.</summary>
public sealed class Classification
{
    /// <summary>The number of statements in a piece.</summary>
    private const int Piece = 250;

    private readonly SyntaxTree tree;
    private readonly OccurrenceReader reader;
    private readonly List<ClassifiedText> found = [];

    // The classes of names in each shape, which are the same in all its statements.
    private readonly Dictionary<Shape, TextClass?[]> namesOf = new(ReferenceEqualityComparer.Instance);

    private Classification(PlanQueries queries, SyntaxTree tree)
    {
        this.tree = tree;
        reader = new OccurrenceReader(queries.Plan, queries.FileOf(tree));
    }

    /// <summary>Processes a file's statements in pieces, in parallel if there are many.</summary>
    /// <param name="queries">The plan.</param>
    /// <param name="tree">The file.</param>
    /// <param name="first">The index of the first statement.</param>
    /// <param name="end">The index after the last statement.</param>
    /// <param name="make">Processes one piece: the statements from one index up to, not including, another.</param>
    /// <returns>The result for each piece, in order.</returns>
    public static T[] InPieces<T>(PlanQueries queries, SyntaxTree tree, int first, int end, Func<Classification, int, int, T> make)
    {
        var made = new T[(end - first + Piece - 1) / Piece];
        SideBySide.Do(made.Length, end - first, piece =>
        {
            var from = first + piece * Piece;
            made[piece] = make(new Classification(queries, tree), from, Math.Min(end, from + Piece));
        });
        return made;
    }

    /// <summary>The comments before a file's first statement.</summary>
    public static ReadOnlySpan<ClassifiedText> HeaderOf(SyntaxTree tree)
    {
        var remarks = new List<ClassifiedText>();
        AddRemarks(tree.Source.Content, tree.Header.Start, tree.Header.End, remarks);
        return CollectionsMarshal.AsSpan(remarks);
    }

    /// <summary>The classified text of a statement, in order. Valid until the next call.</summary>
    public ReadOnlySpan<ClassifiedText> Of(int statement)
    {
        found.Clear();
        using var reading = tree[statement].Read();
        if (!namesOf.TryGetValue(tree[statement].Shape, out var names))
        {
            namesOf.Add(tree[statement].Shape, names = new TextClass?[reading.TokenCount + 1]);
            FindNames(reading.Root, names);
        }
        Add(tree.Source.Content, tree.StartOf(statement), reading, reader.Read(reading), names);
        return CollectionsMarshal.AsSpan(found);
    }

    private void Add(string content, int start, StatementReading reading, List<Occurrence> occurrences, TextClass?[] names)
    {
        var (next, end) = (0, 0);
        for (var token = 0; token < reading.TokenCount; token++)
        {
            var span = reading.SpanOf(token);
            // A comment has at least two characters.
            if (span.Start > end + 1) AddRemarks(content, start + end, start + span.Start, found);
            end = span.End;
            while (next < occurrences.Count && occurrences[next].Span.Start < span.Start) next++;
            if (next < occurrences.Count && occurrences[next].Span == span)
            {
                var occurrence = occurrences[next];
                found.Add(new ClassifiedText(span.Moved(start), ClassOf(occurrence), occurrence.IsDeclaration, IsOfLibrary(occurrence)));
            }
            else if (ClassOf(reading.KindOf(token), names[token]) is { } its)
                found.Add(new ClassifiedText(span.Moved(start), its, false, false));
        }
        AddRemarks(content, start + end, start + reading.Statement.Text.Length, found);
    }

    private static void FindNames(SyntaxNode node, TextClass?[] names)
    {
        foreach (var child in node.Children)
            switch (child.Kind)
            {
                case NodeKind.Name when child.HasText:
                    names[child.FirstToken] = node.Kind == NodeKind.Item ? TextClass.Element : node.Kind is NodeKind.Tap or NodeKind.Joins or NodeKind.Way or NodeKind.Time ? TextClass.Keyword : TextClass.Name;
                    break;
                case NodeKind.SettingName when child.HasText:
                    names[child.FirstToken] = TextClass.Setting;
                    break;
                case NodeKind.AttributeValue when child.HasText:
                    names[child.FirstToken] = TextClass.Setting;
                    FindNames(child, names);
                    break;
                default:
                    FindNames(child, names);
                    break;
            }
    }

    private static TextClass? ClassOf(TokenKind kind, TextClass? named) => kind switch
    {
        _ when named is { } its => its,
        TokenKind.Number or TokenKind.Symbol or TokenKind.Ratio => TextClass.Number,
        TokenKind.String or TokenKind.OpenString => TextClass.Quoted,
        TokenKind.Code => TextClass.Element,
        TokenKind.Arrow or TokenKind.Dots or TokenKind.LessEqual or TokenKind.GreaterEqual or TokenKind.Less or TokenKind.Greater or TokenKind.Equal or TokenKind.Plus or TokenKind.Minus => TextClass.Sign,
        TokenKind.OpenBlock => TextClass.Remark,
        _ when kind.IsReserved() || kind.IsContextual() => TextClass.Keyword,
        _ => null,
    };

    private static TextClass ClassOf(in Occurrence occurrence) => occurrence.Symbol switch
    {
        null => occurrence.Subject switch
        {
            PartSubject { IsCount: true } => TextClass.Count,
            PartSubject => TextClass.Part,
            SlotKindSubject => TextClass.SlotKind,
            _ => TextClass.Quoted,
        },
        UnitSymbol => TextClass.Unit,
        FeedSymbol or BundleSymbol => TextClass.Feed,
        GearSymbol => TextClass.Gear,
        FormatSymbol => TextClass.Format,
        NetworkSymbol => TextClass.Network,
        LoomSymbol => TextClass.Loom,
        ActSymbol => TextClass.Act,
        _ => TextClass.Prefix,
    };

    private static bool IsOfLibrary(in Occurrence occurrence) => (occurrence.Symbol?.File ?? (occurrence.Subject as PartSubject)?.Gear.File) is { IsLibrary: true };

    private static void AddRemarks(string content, int from, int to, List<ClassifiedText> found)
    {
        for (var at = from; at < to;)
        {
            var length = content.AsSpan(at, to - at).IndexOf('/');
            if (length < 0) return;
            at += length;
            var rest = content.AsSpan(at, to - at);
            if (rest.StartsWith("//"))
            {
                var end = rest.IndexOfAny('\r', '\n');
                if (end < 0) end = rest.Length;
                found.Add(new ClassifiedText(new TextSpan(at, end), rest.StartsWith("///") && !rest.StartsWith("////") ? TextClass.Documentation : TextClass.Remark, false, false));
                at += end;
            }
            else if (rest.StartsWith("/*"))
            {
                var end = rest[2..].IndexOf("*/") is >= 0 and var close ? close + 4 : rest.Length;
                found.Add(new ClassifiedText(new TextSpan(at, end), TextClass.Remark, false, false));
                at += end;
            }
            else at++;
        }
    }
}
