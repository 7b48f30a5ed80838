using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>What indexes declare, and what they select.</summary>
internal static class Indexes
{
    /// <summary>The most elements that one index may declare: as many as a plan may have channels.</summary>
    public const int Most = 4_000_000;

    /// <summary>The elements that an index declares. Nonsensical entries are left out; <see cref="Check"/> reports them.</summary>
    public static Elements Declare(IndexExpression index)
    {
        if (index.Items.Length == 1 && index.Items[0] is { IsName: false } only)
            return only.From >= 1 && only.To >= only.From && only.To - only.From < Most ? Elements.Numbers(only.From, only.To - only.From + 1) : Elements.Numbers(Math.Max(1, only.From), 1);
        var names = ImmutableArray.CreateBuilder<string>();
        foreach (var item in index.Items)
            if (item.Name is { } name) names.Add(name);
            else
                for (long number = item.From; number <= item.To && item.From >= 1 && names.Count < GearModelFactory.MostPerSocket; number++)
                    names.Add(number.ToString(System.Globalization.CultureInfo.InvariantCulture));
        return names.Count == 0 ? Elements.Numbers(1, 1) : Elements.Named(names.DrainToImmutable());
    }

    /// <summary>Whether all entries of an index make sense, so that its elements are known.</summary>
    public static bool IsKnown(IndexExpression? index)
    {
        if (index is null) return true;
        foreach (var item in index.Items)
            if (!item.IsName && (item.From < 1 || item.To < item.From)) return false;
        return true;
    }

    /// <summary>Reports ranges that count down, start at zero or are too long, and names that repeat.</summary>
    public static void Check(IndexExpression? index, Statement statement, DraftBag bag)
    {
        if (index is null) return;
        var seen = new HashSet<string>();
        var numbers = new HashSet<int>();
        // With several entries, each element is stored by itself, so their total is limited.
        var (isList, count) = (index.Items.Length > 1, 0L);
        foreach (var item in index.Items)
        {
            var at = new Anchor(statement, item.Span);
            if (item.Name is { } name)
            {
                count++;
                if (!seen.Add(name)) bag.Add(NameFindings.ElementTwice(name), at);
            }
            else if (item.From < 1 || item.To < item.From)
                bag.Add(BadRange(item, at));
            else if (item.To - item.From >= Most)
                bag.Add(ChannelFindings.TooManyElements(item.To - (long)item.From + 1), at);
            else if (isList)
            {
                if (count <= GearModelFactory.MostPerSocket && (count += item.To - (long)item.From + 1) > GearModelFactory.MostPerSocket)
                    bag.Add(ChannelFindings.TooManyListed(GearModelFactory.MostPerSocket), at);
                if (FirstKnown(item) is { } again) bag.Add(NameFindings.ElementTwice(Quantity.Number(again)), at);
            }
        }

        // Beyond the limit, repeats are not looked for.
        int? FirstKnown(ItemExpression item)
        {
            int? known = null;
            for (long number = item.From; number <= item.To && numbers.Count < GearModelFactory.MostPerSocket; number++)
                if (!numbers.Add((int)number)) known ??= (int)number;
            return known;
        }
    }

    /// <summary>Reports why some numbers can't be counted, with a fix for a range that counts down.</summary>
    public static Draft BadRange(ItemExpression item, Anchor at)
    {
        var written = at.Statement.Text.Span[at.Span.Start..at.Span.End].ToString();
        // A range that counts down, or one with a dot too few.
        var upwards = item.To >= 1 && item.From > item.To ? $"{item.To}..{item.From}"
            : written.Split('.') is [var first, var last] && int.TryParse(first, NumberStyles.None, CultureInfo.InvariantCulture, out var from) && int.TryParse(last, NumberStyles.None, CultureInfo.InvariantCulture, out var to) && from >= 1 && to > from ? $"{first}..{last}"
            : null;
        return new Draft(ChannelFindings.BadRangeOf(item.From, item.To, written, Most), at) { Fixes = upwards is null ? [] : [new FixDraft($"write `{upwards}`", false, at, upwards)] };
    }

    /// <summary>The elements that an index selects, in its order; null, with a finding, if one does not exist.</summary>
    /// <param name="index">The index.</param>
    /// <param name="elements">The elements to select from.</param>
    /// <param name="symbol">The symbol they belong to.</param>
    /// <param name="statement">The statement that contains the index.</param>
    /// <param name="bag">Receives findings.</param>
    public static List<int>? Choose(IndexExpression index, Elements elements, Symbol symbol, Statement statement, DraftBag bag)
    {
        var chosen = new List<int>();
        foreach (var item in index.Items)
        {
            var at = new Anchor(statement, item.Span);
            if (item.Name is null && (item.From < 1 || item.To < item.From))
            {
                bag.Add(BadRange(item, at));
                return null;
            }
            for (long number = item.From; number <= item.To; number++)
            {
                var element = !elements.IsIndexed ? -1 : item.Name is { } name ? elements.IndexOf(name) : elements.IndexOf((int)number);
                if (element < 0)
                {
                    var written = item.Name ?? Quantity.Number(number);
                    bag.Add(new Draft(NameFindings.NoElement(symbol.Sort, symbol.Name, written, elements.IsIndexed ? elements.Words : null, Nearest.To(written, elements.AllNames)), at)
                    {
                        Related = [(symbol.Anchor, "declared here")],
                        Causes = [$"the {symbol.Sort} {symbol.Name} has no {written}"],
                    });
                    return null;
                }
                if (chosen.Count == Most)
                {
                    bag.Add(ChannelFindings.TooManyElements(index.Items.Sum(i => i.IsName ? 1 : Math.Max(0, i.To - (long)i.From + 1))), new Anchor(statement, index.Span));
                    return null;
                }
                chosen.Add(element);
            }
        }
        return chosen;
    }
}
