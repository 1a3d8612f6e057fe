using System.Reflection;

namespace Reliability.Engine.PlugIns;

/// <summary>Runs what a plug-in does at the start of the service on a thread of its own, and does not wait for ever.</summary>
internal static class Patience
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(10);

    /// <summary>The result of the work.</summary>
    /// <param name="what">What it does, as in "it threw while {what}".</param>
    /// <param name="work">The work.</param>
    /// <exception cref="PlugInRefusedException">It threw, or takes too long; then its thread is left behind.</exception>
    public static T Of<T>(string what, Func<T> work) => Of(what, work, Longest);

    /// <summary>The same with a patience of its own.</summary>
    public static T Of<T>(string what, Func<T> work, TimeSpan longest)
    {
        T? result = default;
        Exception? thrown = null;
        var thread = new Thread(() =>
        {
            try
            {
                result = work();
            }
            catch (Exception e)
            {
                thrown = e;
            }
        })
        { IsBackground = true };
        thread.Start();
        if (!thread.Join(longest))
            throw new PlugInRefusedException($"It was not done with {what} after {longest.TotalSeconds:G3} s.");
        return thrown switch
        {
            null => result!,
            PlugInRefusedException refusal => throw refusal,
            TargetInvocationException { InnerException: { } inner } => throw Threw(what, inner),
            _ => throw Threw(what, thrown),
        };
    }

    private static PlugInRefusedException Threw(string what, Exception inner) =>
        new($"It threw {inner.GetType().Name} while {what}; the log of the service says more.", inner);
}
