using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>Reads <c>format</c> statements.</summary>
internal static class FormatReader
{
    private static readonly SettingVocabulary Settings = new(
        "a format",
        ("note", ValueForm.Text, Measure.None),
        ("closed", ValueForm.Flag, Measure.None),
        ("connector", ValueForm.Name, Measure.None),
        ("priority_1", ValueForm.Number, Measure.None),
        ("clock_class", ValueForm.Number, Measure.None),
        ("clock_accuracy", ValueForm.Quantity, Measure.Time),
        ("clock_variance", ValueForm.Number, Measure.None),
        ("priority_2", ValueForm.Number, Measure.None),
        ("never_leads", ValueForm.Number, Measure.None),
        ("transport", ValueForm.Name, Measure.None),
        ("packet_time", ValueForm.Amount, Measure.Time),
        ("encoding", ValueForm.Name, Measure.None),
        ("payload", ValueForm.Count, Measure.None),
        ("block", ValueForm.Count, Measure.None))
    {
        Words = { ["transport"] = ["rtp", "avtp"], ["encoding"] = NetworkSymbol.Encodings },
    };

    public static FormatSymbol? Read(PlanFile file, Statement statement, DraftBag bag)
    {
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var said = bag.Drafts.Count;
        var joins = Joining.PointToPoint;
        var time = TimeTransfer.None;
        var bothWays = false;
        double? latency = null;
        var capacities = ImmutableArray.CreateBuilder<Capacity>();
        var media = ImmutableArray.CreateBuilder<Medium>();
        var settings = ImmutableArray.CreateBuilder<Setting>();
        foreach (var wrapper in root.ChildrenOf(NodeKind.FormatSetting))
        {
            var piece = wrapper.FirstChild;
            if (!piece.HasText) continue;
            switch (piece.Kind)
            {
                case NodeKind.Joins:
                    joins = OneOf(piece, joins, ("point_to_point", Joining.PointToPoint), ("switched", Joining.Switched), ("shared", Joining.Shared));
                    break;
                case NodeKind.Way:
                    bothWays = OneOf(piece, bothWays, ("one", false), ("both", true));
                    break;
                case NodeKind.Time:
                    time = OneOf(piece, time, ("none", TimeTransfer.None), ("embedded", TimeTransfer.Embedded), ("shared", TimeTransfer.Shared));
                    break;
                case NodeKind.Capacity:
                    AddCapacity(piece);
                    break;
                case NodeKind.Medium:
                    AddMedium(piece);
                    break;
                case NodeKind.FormatLatency:
                    latency = ReadLatency(piece.Child(NodeKind.Quantity)) ?? latency;
                    break;
                case NodeKind.AttributeValue:
                    settings.AddRange(SettingTable.Of(wrapper, NodeKind.AttributeValue).All);
                    break;
            }
        }
        var table = new SettingTable(settings.DrainToImmutable());
        Settings.Check(table, statement, bag);
        ClockFigures.Check(table, statement, bag);
        return new FormatSymbol(file, statement, name.Name(), name.Span)
        {
            Title = root.OwnQuoted(),
            Joins = joins,
            BothWays = bothWays || joins == Joining.Switched,
            Time = time,
            Latency = latency,
            Capacities = capacities.DrainToImmutable(),
            Media = media.DrainToImmutable(),
            Settings = table,
            Election = ElectionFigures.Of(table),
            IsInDoubt = !statement.IsClear || bag.Drafts.Count > said,
        };

        T OneOf<T>(SyntaxNode piece, T otherwise, params (string Word, T Value)[] known)
        {
            var word = piece.Child(NodeKind.Name);
            if (!word.HasText) return otherwise;
            foreach (var (text, value) in known)
                if (word.Text.SequenceEqual(text)) return value;
            var list = string.Join(", ", known.Select(k => $"`{k.Word}`"));
            bag.Add(new Draft(NameFindings.WrongValueOf(reading.TextOf(piece.FirstToken).ToString(), $"takes one of {list}"), word.Anchor())
            {
                Fixes = Nearest.To(word.Text, known.Select(k => k.Word)) is { } meant ? [new FixDraft($"write `{meant}`", true, word.Anchor(), meant)] : [],
            });
            return otherwise;
        }

        double? ReadLatency(SyntaxNode written)
        {
            if (written.AsQuantity() is not { } quantity) return null;
            if (quantity is { Measure: Measure.Time, Value: >= 0 }) return quantity.Value;
            bag.Add(NameFindings.WrongValueOf("latency", "takes a time of 0 or more"), written.Anchor());
            return null;
        }

        void AddCapacity(SyntaxNode piece)
        {
            var number = piece.TokenOf(TokenKind.Number);
            var rates = piece.Child(NodeKind.Span);
            if (number < 0 || rates.AsSpan() is not { } span) return;
            if (span.Measure != Measure.Frequency)
                bag.Add(NameFindings.WrongValueOf("channels", "takes rates in Hz, kHz or MHz"), rates.Anchor());
            else if (span.High < span.Low)
                bag.Add(NameFindings.WrongValueOf("channels", "takes rates from low to high"), rates.Anchor());
            else
                capacities.Add(new Capacity(reading.CountOf(number, "a number of channels", bag), span.Low, span.High));
        }

        void AddMedium(SyntaxNode piece)
        {
            if (piece.Child(NodeKind.Name) is not { HasText: true } medium) return;
            var lengths = new List<double>(2);
            foreach (var quantity in piece.ChildrenOf(NodeKind.Quantity))
                if (quantity.AsQuantity() is { Measure: Measure.Length } length) lengths.Add(length.Value);
                else if (quantity.HasText)
                    bag.Add(NameFindings.WrongValueOf("medium", "takes lengths in m, km or ft"), quantity.Anchor());
            media.Add(new Medium(medium.Name(), lengths.Count > 0 ? lengths[0] : null, lengths.Count > 1 ? lengths[1] : null));
        }
    }
}
