using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>What a path names: channels of one socket, on one device or a row of equal devices.</summary>
internal readonly struct Target(ImmutableArray<Device> row, Socket socket, ImmutableArray<(int First, int Count)> ranges, TextSpan span)
{
    /// <summary>The devices, in order.</summary>
    public ImmutableArray<Device> Row { get; } = row;

    public Socket Socket { get; } = socket;

    /// <summary>The indexed channels, counted from 0; default if the path has no index and names all channels.</summary>
    public ImmutableArray<(int First, int Count)> Ranges { get; } = ranges;

    /// <summary>The span of the path, counted from the statement's start.</summary>
    public TextSpan Span { get; } = span;

    public bool IsIndexed => !Ranges.IsDefault;

    /// <summary>Whether it names all channels of all units alike, so that it does not state how many there are.</summary>
    public bool IsWholeRow => !IsIndexed && Row[0].Unit.Elements.IsIndexed && Row.Length == Row[0].Unit.Elements.Count;

    /// <summary>The number of channels it names on each device, on a side.</summary>
    public int CountOn(Side side)
    {
        if (Ranges.IsDefault) return Socket.CountOn(side);
        var count = 0;
        foreach (var range in Ranges) count += range.Count;
        return count;
    }

    /// <summary>The number of channels it names in all, on a side.</summary>
    public int WidthOn(Side side) => Row.Length * CountOn(side);

    /// <summary>The device and channel at an index of the whole width.</summary>
    public (Device Device, int Channel) At(int place, Side side)
    {
        var device = Row[0];
        if (Row.Length > 1)
        {
            var (row, rest) = Math.DivRem(place, CountOn(side));
            (device, place) = (Row[row], rest);
        }
        if (Ranges.IsDefault) return (device, place);
        foreach (var (first, count) in Ranges)
        {
            if (place < count) return (device, first + place);
            place -= count;
        }
        throw new ArgumentOutOfRangeException(nameof(place));
    }
}
