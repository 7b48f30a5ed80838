using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A network: ports that share one switched network.</summary>
public sealed class NetworkSymbol : Symbol
{
    /// <summary>The sample encodings in packets.</summary>
    internal static readonly string[] Encodings = ["L16", "L24", "L32"];

    private NetworkSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan)
    {
    }

    /// <summary>Its label in the sheets.</summary>
    public string? Label { get; private init; }

    /// <summary>Its latency setting in seconds, if written.</summary>
    public double? Latency { get; private init; }

    /// <summary>Its link speed in bits per second, if written.</summary>
    public double? Link { get; private init; }

    internal TextSpan LatencySpan { get; private init; }

    internal TextSpan LinkSpan { get; private init; }

    /// <summary>The multicast addresses written, each for the streams of some channels that a port sends.</summary>
    internal ImmutableArray<GroupExpression> Groups { get; private init; } = [];

    /// <summary>Receive latencies of single ports, in seconds.</summary>
    internal ImmutableArray<(PathExpression Port, double Latency)> ReceiverLatencies { get; private init; } = [];

    /// <summary>The spans of receive latencies that are not a time above 0.</summary>
    internal ImmutableArray<TextSpan> WrongLatencies { get; private init; } = [];

    internal ReferenceExpression? Format { get; private init; }

    internal ReferenceExpression? TwinOf { get; private init; }

    internal ImmutableArray<PathExpression> Joins { get; private init; } = [];

    /// <summary>The offset at which a <c>join</c> line can be inserted: after the opening brace.</summary>
    internal int JoinOffset { get; private init; }

    /// <summary>Whether it says no more than its format and what it joins.</summary>
    private bool JoinsOnly { get; init; }

    internal DuringExpression? During { get; private init; }

    internal SettingTable Settings { get; private init; } = SettingTable.Empty;

    /// <summary>The fix that moves the ports of a second network of this name here; null if the second says more than what it joins.</summary>
    internal FixDraft? Taking(NetworkSymbol second)
    {
        if (File.IsLibrary || second.File != File || Acts != second.Acts || second.Joins.IsEmpty || !Statement.IsClear || !second.Statement.IsClear) return null;
        if (second.Format?.Written != Format?.Written || !second.JoinsOnly || JoinOffset == 0) return null;
        // A comment in it would go with it.
        var whole = Anchors.WholeOf(second.Statement);
        if (second.Statement.Text.Span.Slice(whole.Span.Start, whole.Span.Length) is var text && (text.Contains("//", StringComparison.Ordinal) || text.Contains("/*", StringComparison.Ordinal))) return null;
        var known = Joins.Select(WrittenIn(Statement)).ToHashSet();
        var ports = second.Joins.Select(WrittenIn(second.Statement)).Where(p => !known.Contains(p)).ToList();
        var taken = new EditDraft(whole, "");
        return ports.Count == 0
            ? new FixDraft("take the second one out", false, [taken])
            : new FixDraft($"join {NameFindings.Listed(ports)} to the first, and take the second out", false, [new EditDraft(At(new TextSpan(JoinOffset, 0)), $"\n  join {string.Join(", ", ports)}"), taken]);

        static Func<PathExpression, string> WrittenIn(Statement statement) => p => statement.Text.Span.Slice(p.Span.Start, p.Span.Length).ToString();
    }

    internal static NetworkSymbol? Read(PlanFile file, Statement statement)
    {
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var joins = ImmutableArray.CreateBuilder<PathExpression>();
        var settings = ImmutableArray.CreateBuilder<Setting>();
        ReferenceExpression? twin = null;
        double? latency = null;
        ImmutableArray<(PathExpression, double)> receivers = [];
        ImmutableArray<TextSpan> wrong = [];
        double? link = null;
        TextSpan latencySpan = default, linkSpan = default;
        var groups = ImmutableArray.CreateBuilder<GroupExpression>();
        var joinsOnly = root.OwnQuoted() is null;
        foreach (var wrapper in root.ChildrenOf(NodeKind.NetworkSetting))
        {
            var piece = wrapper.FirstChild;
            if (!piece.HasText) continue;
            joinsOnly &= piece.Kind == NodeKind.Join;
            switch (piece.Kind)
            {
                case NodeKind.Join:
                    joins.AddRange(piece.Paths());
                    break;
                case NodeKind.Twin:
                    twin = piece.Child(NodeKind.Reference).AsReference();
                    break;
                case NodeKind.NetworkLatency:
                    var written = piece.Child(NodeKind.Quantity);
                    double? seconds = written.AsQuantity() is { Measure: Measure.Time, Value: > 0 } time ? time.Value : null;
                    if (piece.Paths() is { IsEmpty: false } ports)
                    {
                        if (seconds is { } of) receivers = receivers.AddRange(ports.Select(p => (p, of)));
                        else wrong = wrong.Add(written.Span);
                        break;
                    }
                    (latency, latencySpan) = (seconds, written.Span);
                    break;
                case NodeKind.NetworkLink:
                    linkSpan = piece.Child(NodeKind.Quantity).Span;
                    link = piece.Child(NodeKind.Quantity).AsQuantity() is { Measure: Measure.DataRate, Value: > 0 } speed ? speed.Value : null;
                    break;
                case NodeKind.Group:
                    if (piece.Child(NodeKind.Path).AsPath() is { } sender && piece.OwnQuoted() is { } address)
                        groups.Add(new GroupExpression(sender, address, reading.SpanOf(piece.TokenOf(TokenKind.String))));
                    break;
                case NodeKind.AttributeValue:
                    settings.AddRange(SettingTable.Of(wrapper, NodeKind.AttributeValue).All);
                    break;
            }
        }
        var brace = root.TokenOf(TokenKind.OpenBrace);
        return new NetworkSymbol(file, statement, name.Name(), name.Span)
        {
            Label = root.OwnQuoted(),
            Format = root.Child(NodeKind.Reference).AsReference(),
            Joins = joins.DrainToImmutable(),
            JoinsOnly = joinsOnly,
            TwinOf = twin,
            Latency = latency,
            LatencySpan = latencySpan,
            ReceiverLatencies = receivers,
            WrongLatencies = wrong,
            Link = link,
            LinkSpan = linkSpan,
            Groups = groups.DrainToImmutable(),
            JoinOffset = brace < 0 ? 0 : reading.SpanOf(brace).End,
            During = root.Child(NodeKind.During).AsDuring(),
            Settings = new SettingTable(settings.DrainToImmutable()),
        };
    }
}

/// <summary>A multicast address for what a port sends.</summary>
/// <param name="Sender">The channels whose streams go there.</param>
/// <param name="Address">The address as written; for several streams, that of the first.</param>
/// <param name="AddressSpan">Its span, from the statement's start.</param>
internal sealed record GroupExpression(PathExpression Sender, string Address, TextSpan AddressSpan);
