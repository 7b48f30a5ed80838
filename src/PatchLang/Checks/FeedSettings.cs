using PatchLang.Declarations;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>Fixes that write a setting of a feed.</summary>
internal static class FeedSettings
{
    /// <summary>The edit that lengthens a feed's delay.</summary>
    /// <param name="feed">The feed.</param>
    /// <param name="seconds">By how much, in seconds.</param>
    public static EditDraft Delay(FeedSymbol feed, double seconds)
    {
        if (feed.Settings["delay"] is { } written) return new EditDraft(feed.At(written.Span), $"delay = {Quantity.Milliseconds(feed.Delay + seconds)}");
        var setting = $"delay = {Quantity.Milliseconds(seconds)}";
        using var reading = feed.Statement.ReadAsMeant();
        var braces = reading.Root.Child(NodeKind.Settings);
        if (braces.HasText) return new EditDraft(feed.At(new TextSpan(braces.Span.End - 1, 0)), braces.FirstChild.HasText ? $" {setting} " : setting);
        var end = feed.Hops.IsEmpty ? feed.Origin!.Span.End : feed.Hops[^1].Span.End;
        return new EditDraft(feed.At(new TextSpan(end, 0)), $" {{ {setting} }}");
    }
}
