using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>A declaration in a file, with its contents; spans count from the start of the file.</summary>
/// <param name="Name">Its name; for a statement that declares no name, its text in short.</param>
/// <param name="Sort">Its opening word.</param>
/// <param name="Detail">Its label or title, if written.</param>
/// <param name="Span">The whole declaration.</param>
/// <param name="NameSpan">Just the name.</param>
/// <param name="Children">For gear, the parts it declares.</param>
public sealed record OutlineEntry(string Name, string Sort, string? Detail, TextSpan Span, TextSpan NameSpan, ImmutableArray<OutlineEntry> Children);

/// <summary>The declarations of a file, from its text alone, including broken ones that have a name.</summary>
public static class Outline
{
    /// <summary>The entries of a file, in order. They are created lazily, since a large file has many.</summary>
    public static IEnumerable<OutlineEntry> Of(SyntaxTree tree)
    {
        for (var i = 0; i < tree.Count; i++)
            if (Of(tree[i], tree.StartOf(i)) is { } entry) yield return entry;
    }

    private static OutlineEntry? Of(Statement statement, int start)
    {
        using var reading = statement.Read();
        var root = reading.Root;
        var whole = TextSpan.FromTo(0, reading.SpanOf(reading.TokenCount).Start);
        var sort = Spelling.Of(reading.KindOf(0));
        switch (root.Kind)
        {
            case NodeKind.Rig when root.TokenOf(TokenKind.String) is >= 0 and var title:
                return new OutlineEntry(reading.Quoted(title) is { Length: > 0 } text ? text : "rig", sort, null, whole.Moved(start), reading.SpanOf(title).Moved(start), []);
            case NodeKind.Use when root.TokenOf(TokenKind.String) is >= 0 and var path && reading.Quoted(path) is { Length: > 0 } written:
                return new OutlineEntry(written, sort, null, whole.Moved(start), reading.SpanOf(path).Moved(start), []);
            case NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Unit or NodeKind.Network or NodeKind.Loom or NodeKind.Feed or NodeKind.Bundle:
                if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
                var label = root.Kind is NodeKind.Unit or NodeKind.Feed ? root.Child(NodeKind.Labels).OwnQuoted() : root.OwnQuoted();
                return new OutlineEntry(name.Name(), sort, label ?? GearOf(root), whole.Moved(start), name.Span.Moved(start), PartsOf(root, start));
            case NodeKind.Expect when root.Child(NodeKind.Pick) is { HasText: true } pick:
                return new OutlineEntry(TextSpan.FromTo(pick.Span.Start, whole.End) is var rest ? OneLine(reading.TextOf(rest)) : "", sort, null, whole.Moved(start), pick.Span.Moved(start), []);
            default:
                return null;
        }
    }

    private static string? GearOf(SyntaxNode unit) => unit.Child(NodeKind.Reference) is { HasText: true } gear ? gear.Text.ToString() : null;

    private static string OneLine(ReadOnlySpan<char> text) => string.Join(' ', text.ToString().Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private static ImmutableArray<OutlineEntry> PartsOf(SyntaxNode gear, int start)
    {
        if (gear.Kind is not (NodeKind.Gear or NodeKind.Card)) return [];
        var parts = ImmutableArray.CreateBuilder<OutlineEntry>();
        foreach (var wrapper in gear.Child(NodeKind.GearBody).ChildrenOf(NodeKind.GearSetting))
        {
            var node = wrapper.FirstChild;
            if (!node.HasText) continue;
            var sort = node.Reading.TextOf(node.FirstToken).ToString();
            if (node.Kind is NodeKind.Slot or NodeKind.Clock) Add(node.Child(NodeKind.Name), node, sort);
            else
                foreach (var counted in node.ChildrenOf(NodeKind.Counted)) Add(counted.Child(NodeKind.Name), node, sort);
        }
        return parts.DrainToImmutable();

        void Add(SyntaxNode name, SyntaxNode line, string sort)
        {
            if (name.IsName) parts.Add(new OutlineEntry(name.Name(), sort, sort, line.Span.Moved(start), name.Span.Moved(start), []));
        }
    }
}
