using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>Ports that share one switched network.</summary>
public sealed class NetworkSymbol : Symbol
{
    private NetworkSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan)
    {
    }

    /// <summary>What it is called in the sheets.</summary>
    public string? Label { get; private init; }

    /// <summary>Its latency setting in seconds, if written.</summary>
    public double? Latency { get; private init; }

    /// <summary>Its link speed in bits per second, if written.</summary>
    public double? Link { get; private init; }

    internal ReferenceExpression? Format { get; private init; }

    internal ReferenceExpression? TwinOf { get; private init; }

    internal ImmutableArray<PathExpression> Joins { get; private init; } = [];

    /// <summary>Where one more <c>join</c> line can be written: behind the opening brace.</summary>
    internal int JoinOffset { get; private init; }

    internal DuringExpression? During { get; private init; }

    internal SettingTable Settings { get; private init; } = SettingTable.Empty;

    internal static NetworkSymbol? Read(PlanFile file, Statement statement)
    {
        using var reading = statement.Read();
        var root = reading.Root;
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var joins = ImmutableArray.CreateBuilder<PathExpression>();
        var settings = ImmutableArray.CreateBuilder<Setting>();
        ReferenceExpression? twin = null;
        double? latency = null;
        double? link = null;
        foreach (var wrapper in root.ChildrenOf(NodeKind.NetworkSetting))
        {
            var piece = wrapper.FirstChild;
            if (!piece.HasText) continue;
            switch (piece.Kind)
            {
                case NodeKind.Join:
                    joins.AddRange(piece.Paths());
                    break;
                case NodeKind.Twin:
                    twin = piece.Child(NodeKind.Reference).AsReference();
                    break;
                case NodeKind.NetworkLatency:
                    if (piece.Child(NodeKind.Quantity).AsQuantity() is { Measure: Measure.Time } time) latency = time.Value;
                    break;
                case NodeKind.NetworkLink:
                    if (piece.Child(NodeKind.Quantity).AsQuantity() is { Measure: Measure.DataRate } speed) link = speed.Value;
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
            TwinOf = twin,
            Latency = latency,
            Link = link,
            JoinOffset = brace < 0 ? 0 : reading.SpanOf(brace).End,
            During = root.Child(NodeKind.During).AsDuring(),
            Settings = new SettingTable(settings.DrainToImmutable()),
        };
    }
}
