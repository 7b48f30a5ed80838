using System.Globalization;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Tests.Library;

/// <summary>One format of the library: what its declaration says, read off the syntax tree.</summary>
internal sealed record FormatTable(string Name, string Joins, string Way, string Time, IReadOnlyList<FormatTable.Capacity> Capacities, IReadOnlyList<FormatTable.Medium> Media)
{
    /// <summary>So many channels at these rates, in Hz, both included.</summary>
    internal readonly record struct Capacity(int Channels, double LowestRate, double HighestRate);

    /// <summary>What it runs on, and how far in metres: advised, and at most.</summary>
    internal readonly record struct Medium(string Name, double? Advised, double? Most);

    public static FormatTable Of(string name) =>
        ShippedLibrary.All(NodeKind.Format).Select(d => Read(d.Tree[d.Index])).Single(f => f.Name == name);

    public static IEnumerable<FormatTable> All => ShippedLibrary.All(NodeKind.Format).Select(d => Read(d.Tree[d.Index]));

    /// <summary>The channels it carries at a rate in Hz; null where it does not run at that rate.</summary>
    public int? ChannelsAt(double rate)
    {
        foreach (var capacity in Capacities)
            if (rate >= capacity.LowestRate && rate <= capacity.HighestRate) return capacity.Channels;
        return null;
    }

    private static FormatTable Read(Statement statement)
    {
        using var reading = statement.Read();
        var format = Declaration(reading.Root);
        string joins = "", way = "", time = "";
        var capacities = new List<Capacity>();
        var media = new List<Medium>();
        foreach (var setting in format.ChildrenOf(NodeKind.FormatSetting))
        {
            var piece = setting.FirstChild;
            switch (piece.Kind)
            {
                case NodeKind.Joins: joins = NameOf(piece); break;
                case NodeKind.Way: way = NameOf(piece); break;
                case NodeKind.Time: time = NameOf(piece); break;
                case NodeKind.Capacity: capacities.Add(CapacityOf(piece)); break;
                case NodeKind.Medium: media.Add(MediumOf(piece)); break;
                default: throw new InvalidOperationException($"A format has no {piece.Kind}.");
            }
        }
        return new FormatTable(NameOf(format), joins, way, time, capacities, media);
    }

    /// <summary>The declaration inside the statement's node, however deep.</summary>
    private static SyntaxNode Declaration(SyntaxNode root)
    {
        var node = root;
        while (node.Kind != NodeKind.Format) node = node.FirstChild;
        return node;
    }

    private static string NameOf(SyntaxNode node) => node.Child(NodeKind.Name).Text.ToString();

    private static Capacity CapacityOf(SyntaxNode node)
    {
        var span = node.Child(NodeKind.Span);
        var factor = Quantity.UnitOf(span.Child(NodeKind.Measure).Text).Factor;
        var numbers = NumbersOf(span).ToList();
        return new Capacity((int)NumbersOf(node).First(), numbers[0] * factor, numbers[^1] * factor);
    }

    private static Medium MediumOf(SyntaxNode node)
    {
        var lengths = new List<double>();
        foreach (var quantity in node.ChildrenOf(NodeKind.Quantity))
            lengths.Add(NumbersOf(quantity).First() * Quantity.UnitOf(quantity.Child(NodeKind.Measure).Text).Factor);
        return new Medium(NameOf(node), lengths.Count > 0 ? lengths[0] : null, lengths.Count > 1 ? lengths[1] : null);
    }

    /// <summary>The numbers among a node's tokens, in order.</summary>
    private static IEnumerable<double> NumbersOf(SyntaxNode node)
    {
        for (var token = node.FirstToken; token < node.EndToken; token++)
            if (node.Reading.KindOf(token) == TokenKind.Number)
                yield return double.Parse(node.Reading.TextOf(token), CultureInfo.InvariantCulture);
    }
}
