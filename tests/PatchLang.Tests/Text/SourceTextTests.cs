using CsCheck;
using FluentAssertions;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Text;

/// <summary>Where lines begin, in a text as it was read and in one that came of changes.</summary>
public sealed class SourceTextTests
{
    // Every sort of line break, and halves of one.
    private static readonly Gen<string> Texts = Gen.OneOf("\r", "\n", "\r\n", "a", "bc", "").Array[0, 12].Select(string.Concat);

    [Fact]
    public void A_line_ends_at_each_sort_of_line_break()
    {
        var text = new SourceText("plan.rig", "one\ntwo\r\nthree\rfour\n");

        text.LineCount.Should().Be(5);
        Enumerable.Range(0, 5).Select(line => text.Slice(text.LineSpan(line)).ToString()).Should().Equal("one", "two", "three", "four", "");
    }

    [Fact]
    public void After_any_changes_lines_begin_where_they_do_in_the_text_read_anew() =>
        Gen.Select(Texts, Gen.Select(Texts, Gen.Int[0, 30], Gen.Int[0, 5]).Array[1, 6]).Sample((before, changes) =>
        {
            var changed = new SourceText("plan.rig", before);
            foreach (var (text, at, length) in changes)
            {
                _ = changed.LineCount; // asked for, so that it is known when the next change comes
                var start = Math.Min(at, changed.Length);
                changed = changed.With(new TextChange(TextSpan.FromTo(start, Math.Min(start + length, changed.Length)), text));
                LinesOf(changed).Should().Equal(LinesOf(new SourceText("plan.rig", changed.Content)));
            }
        });

    private static IEnumerable<TextSpan> LinesOf(SourceText text) => Enumerable.Range(0, text.LineCount).Select(text.LineSpan);
}
