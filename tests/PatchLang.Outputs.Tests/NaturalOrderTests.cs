using CsCheck;
using FluentAssertions;
using PatchLang.Outputs;
using Xunit;

namespace PatchLang.Outputs.Tests;

public sealed class NaturalOrderTests
{
    [Fact]
    public void Numbers_in_names_count_by_their_value()
    {
        string[] names = ["mic[10]", "mic[2]", "line[1]", "mic[1]", "mic", "mic[2]b"];

        names.Order(NaturalOrder.Instance).Should().Equal("line[1]", "mic", "mic[1]", "mic[2]", "mic[2]b", "mic[10]");
    }

    [Fact]
    public void A_number_may_be_longer_than_any_machine_word() =>
        NaturalOrder.Instance.Compare("ch99999999999999999999998", "ch99999999999999999999999").Should().BeNegative();

    [Fact]
    public void Names_that_differ_are_never_equal() =>
        NaturalOrder.Instance.Compare("mic01", "mic1").Should().NotBe(0);

    [Fact]
    public void It_is_an_order_of_all_texts()
    {
        var text = Gen.Char["a0129[]"].Array[0, 6].Select(c => new string(c));
        Gen.Select(text, text, text).Sample((a, b, c) =>
        {
            var order = NaturalOrder.Instance;
            Math.Sign(order.Compare(a, b)).Should().Be(-Math.Sign(order.Compare(b, a)));
            (order.Compare(a, b) == 0).Should().Be(a == b);
            if (order.Compare(a, b) <= 0 && order.Compare(b, c) <= 0) order.Compare(a, c).Should().BeLessThanOrEqualTo(0);
        });
    }
}
