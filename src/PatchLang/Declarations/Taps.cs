using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>How a plan writes taps.</summary>
public static class Taps
{
    private static readonly ImmutableArray<string> BehindBefore = ["fader", "all"];

    private static readonly ImmutableArray<string> BehindAfter = ["fader"];

    /// <summary>The tap of <c>before all</c>, <c>before fader</c> or <c>after fader</c>; if the word is misspelt, the likeliest one.</summary>
    internal static Tap Of(SyntaxNode tap)
    {
        var word = tap.HasText ? tap.Child(NodeKind.Name) : default;
        return !word.HasText ? Tap.Unstated
            : !tap.Has(TokenKind.Before) ? Tap.AfterFader
            : (Meant(word, BehindBefore) ?? BehindBefore[0]) == "all" ? Tap.BeforeAll : Tap.BeforeFader;
    }

    /// <summary>The finding for a tap's wrong word; null if the word is right.</summary>
    internal static Draft? WrongIn(SyntaxNode tap)
    {
        var word = tap.Child(NodeKind.Name);
        var isBefore = tap.Has(TokenKind.Before);
        var known = isBefore ? BehindBefore : BehindAfter;
        if (!word.HasText || Array.Exists([.. known], k => word.Text.SequenceEqual(k))) return null;
        var meant = Meant(word, known);
        var written = word.Text.ToString();
        return new Draft(
            meant is null ? TextFindings.GoesOnWith(isBefore ? "`before`" : "`after`", [.. known.Select(k => $"`{k}`")], $"`{written}`") : TextFindings.MisspeltWord(written, meant),
            word.Anchor())
        {
            Fixes = [.. (meant is null ? known : [meant]).Select(k => new FixDraft($"write `{k}`", meant is not null, word.Anchor(), k))],
        };
    }

    /// <summary>Reports wrong taps in an origin, and gains that are not in dB.</summary>
    internal static void Check(SyntaxNode origin, DraftBag bag)
    {
        foreach (var child in origin.Children)
            if (child.Kind == NodeKind.Tap && WrongIn(child) is { } wrong) bag.Add(wrong);
            else if (child.Kind == NodeKind.Quantity && child.AsQuantity() is { Measure: not Measure.Gain }) bag.Add(WrongGain(child));
            else if (child.Kind is NodeKind.Sum or NodeKind.Member or NodeKind.Either or NodeKind.Choice) Check(child, bag);
    }

    private static Draft WrongGain(SyntaxNode quantity)
    {
        var text = quantity.Text.ToString();
        var end = text.IndexOf("dB", StringComparison.Ordinal) + "dB".Length;
        return new Draft(NameFindings.WrongValueOf("a gain", "takes a quantity in dB"), quantity.Anchor())
        {
            Fixes = end >= "dB".Length ? [new FixDraft($"write `{text[..end]}`", false, quantity.Anchor(), text[..end])] : [],
        };
    }

    /// <summary>The words for a tap.</summary>
    public static string Words(this Tap tap) => tap switch
    {
        Tap.BeforeAll => "before all",
        Tap.BeforeFader => "before fader",
        Tap.AfterFader => "after fader",
        _ => "unstated",
    };

    private static string? Meant(SyntaxNode word, ImmutableArray<string> known)
    {
        foreach (var each in known)
            if (word.Text.SequenceEqual(each)) return each;
        return Nearest.To(word.Text, known);
    }
}
